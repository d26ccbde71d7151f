package output

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

const (
	// KitFile is the name of the record in a kit.
	KitFile = "kit.json"
	// StartFile and StartPrint are the page that a person begins with.
	StartFile  = "start-here.html"
	StartPrint = "start-here.pdf"

	kitKind = "foldwright kit"
	// kitPrinter is the printer for which the sides are drawn: one that turns
	// sheets about the long edge, of which no errors are known.
	kitPrinter = "by-hand-long"
)

// KitRecord is what kit.json holds.
type KitRecord struct {
	plan.Record
	Maker    string       `json:"maker,omitempty"`
	Editions []KitEdition `json:"editions"` // one for each paper
}

// KitEdition is a kit's files for one paper. Start is what start-here tells.
type KitEdition struct {
	Paper      plan.Paper       `json:"paper"`
	Sheets     int              `json:"sheets"`
	Gatherings []plan.Gathering `json:"gatherings"`
	Start      runsheet.Start   `json:"start"`
}

// Kit is a book for printers that nobody has seen.
type Kit struct {
	Editions []*Edition // of one source, one for each paper
	Maker    string     // a line of whoever makes it: a name, and on what terms others may print; may be empty
	// Kept, if set, is told what a folder that is replaced held besides the kit's files.
	Kept func(names []string)
}

// Edition is the files of a kit for one paper: the test sheets, the files among which they
// choose, and a page that says how.
type Edition struct {
	Job
	prefix string // of the names of its files
	start  runsheet.Start
	files  []file
}

// KitOptions are the options with which the draft of a kit is made; it serves every printer.
func KitOptions(o options.Options) options.Options {
	if o.Run == (options.Run{}) {
		o.Run = options.Run{Book: true}
	}
	o.Printer = kitPrinter
	return o
}

// Edition plans the files of a kit for the paper of the draft, which has to be made with
// [KitOptions]. Where there are several papers, their names begin those of the files. Paper on
// which no test sheet has room is refused.
func (d Job) Edition(several bool) (*Edition, error) {
	if err := testsheet.Check(d.Paper); err != nil {
		return nil, refusal.Plan.New("paper %q is too small for a kit, whose test sheet needs %s", d.Paper.Name, testsheet.Smallest).Advise("take larger paper, or for a printer that is known use prepare")
	}
	k := &Edition{Job: d}
	if several {
		k.prefix = strings.ToLower(strings.ReplaceAll(d.Paper.Word(), " ", "")) + "-"
	}
	k.start.TestFront = k.prefix + testsheet.FrontFile
	if k.twoFaces() {
		k.start.TestBack, k.start.TestBoth = k.prefix+testsheet.BackFile, k.prefix+testsheet.BothFile
		k.start.PutBack = []runsheet.PutBackRead{
			{Reading: "K2", Reload: printer.AsDelivered}, {Reading: "K4", Reload: printer.RotateHalf},
			{Reading: "K1", Reload: printer.TurnLong}, {Reading: "K3", Reload: printer.TurnShort},
		}
		k.start.Edges = []runsheet.EdgeRead{{Reading: "K2", Edge: printer.LongEdge}, {Reading: "K4", Edge: printer.ShortEdge}}
	}
	for _, f := range testsheet.Files(d.Paper, true) {
		if k.twoFaces() || f.Name == testsheet.FrontFile {
			k.files = append(k.files, file{k.prefix + f.Name, len(f.Sides), f.Encode})
		}
	}
	for _, run := range d.Runs {
		k.addRun(run)
	}
	return k, nil
}

// twoFaces tells whether the backs of the sheets are printed.
func (k *Edition) twoFaces() bool { return k.Book.Form.IsTwoSided() }

// addRun adds the files of a run. The test sheets are printed in rising order.
// Where the last of them, III, lies on top with its back up, rising order is
// right for the book too: turned fronts up, its first sheet lies on top. Of a
// book on one face the fronts are looked at, and rising order is right where I
// lies on top. A run of one sheet has no order.
func (k *Edition) addRun(run plan.Run) {
	out := runsheet.StartRun{Number: run.Number, Sheets: run.Sheets}
	if k.HasNames() {
		out.First, out.Last = k.SideName(run, 1, reorder.Front), k.SideName(run, run.Sheets, reorder.Front)
	}
	byTop := map[printer.Pass]*runsheet.ByTop{printer.FrontPass: &out.Front, printer.BackPass: &out.Back, printer.BothPass: &out.Both}
	for _, s := range printer.SharedFiles(run.Sheets, k.twoFaces()) {
		stem, names := k.fileStem(run, s.Pass), byTop[s.Pass]
		switch {
		case run.Sheets == 1 && s.Descending:
			continue
		case run.Sheets == 1:
			names.One, names.Three = stem+".pdf", stem+".pdf"
			k.addFile(run, names.One, s)
		case s.Descending == k.twoFaces():
			names.One = stem + "-top-I.pdf"
			k.addFile(run, names.One, s)
		default:
			names.Three = stem + "-top-III.pdf"
			k.addFile(run, names.Three, s)
		}
	}
	k.start.Runs = append(k.start.Runs, out)
}

// fileStem is how the names of the files of a pass begin.
func (k *Edition) fileStem(run plan.Run, pass printer.Pass) string {
	stem := fmt.Sprintf("by-hand-%s", pass)
	switch {
	case pass == printer.BothPass:
		stem = "two-sided"
	case !k.twoFaces():
		stem = "book"
	}
	if len(k.Runs) > 1 {
		stem = fmt.Sprintf("run-%0*d-%s", max(2, len(fmt.Sprint(len(k.Runs)))), run.Number, stem)
	}
	return k.prefix + stem
}

// addFile adds a print file. Its title says its name: print queues show it.
func (k *Edition) addFile(run plan.Run, name string, s printer.Shared) {
	content := k.printFile(run, plan.PassOf(name, s.File))
	content.Title = fmt.Sprintf("%s, %s", k.Name, strings.TrimSuffix(name, ".pdf"))
	k.files = append(k.files, file{name, len(s.Images), func(ctx context.Context, w io.Writer) error {
		return k.Sequence.Write(ctx, w, content)
	}})
}

// Sides is the number of sides that the files hold together.
func (k *Kit) Sides() (n int) {
	for _, f := range k.files() {
		n += f.sides
	}
	return n
}

// files are all of the kit but its record, those first with which a person begins.
func (k *Kit) files() []file {
	var first, rest []file
	if len(k.Editions) > 1 {
		choice := lists.Map(k.Editions, func(e *Edition) runsheet.PaperPage {
			return runsheet.PaperPage{Paper: e.Paper, File: e.prefix + StartFile}
		})
		first = append(first, file{StartFile, 0, func(_ context.Context, w io.Writer) error {
			return runsheet.WriteChoice(w, k.Editions[0].page(k.Maker), choice)
		}})
	}
	for _, e := range k.Editions {
		page := e.page(k.Maker)
		first = append(first, file{e.prefix + StartFile, 0, func(_ context.Context, w io.Writer) error { return runsheet.WriteKit(w, page) }},
			file{e.prefix + StartPrint, 0, func(ctx context.Context, w io.Writer) error {
				return pdf.Write(ctx, w, typeset(e.Name, e.Paper.Size, runsheet.Lines(runsheet.KitParts(page))))
			}})
		rest = append(rest, e.files...)
	}
	return append(first, rest...)
}

// page is what start-here tells.
func (k *Edition) page(maker string) runsheet.Kit {
	return runsheet.Kit{Job: k.RunSheet(), Start: k.start, Maker: maker}
}

// Write writes the kit to place, as a folder or as a zip file with that folder
// in it, complete or not at all. The errors are those of the source and of
// package publish.
func (k *Kit) Write(ctx context.Context, place string, zipped, replace bool, progress Progress) error {
	o := kitPlace(k.Editions[0].Paths(), zipped, replace)
	o.Kept = k.Kept
	if zipped {
		folder := strings.TrimSuffix(filepath.Base(place), filepath.Ext(place))
		return publish.Write(ctx, place, o, func(ctx context.Context, w io.Writer) error {
			return zipInto(w, folder, func(put putter) error { return k.writeInto(ctx, put, 1, progress) })
		})
	}
	return publish.Folder(ctx, place, o, func(ctx context.Context, dir string) error {
		return k.writeInto(ctx, intoFolder(dir), runtime.GOMAXPROCS(0), progress)
	})
}

// writeInto writes the files of the kit, so many at once, and the record of them. What a person
// begins with comes first.
func (k *Kit) writeInto(ctx context.Context, put putter, atOnce int, progress Progress) error {
	first := k.Editions[0]
	record := KitRecord{plan.Record{Kind: kitKind, Format: plan.Format, ProgramVersion: first.Version, Source: first.Plan().Source}, k.Maker, nil}
	var err error
	if record.Files, err = writeAll(ctx, k.files(), atOnce, put, progress); err != nil {
		return err
	}
	for _, e := range k.Editions {
		if err := e.CheckUnchanged(); err != nil {
			return err
		}
		made := e.Plan()
		record.Editions = append(record.Editions, KitEdition{made.Paper, made.Sheets, made.Gatherings, e.start})
	}
	data, err := plan.Encode(record)
	if err != nil {
		return err
	}
	_, err = put(KitFile, func(w io.Writer) error { _, err := w.Write(data); return err })
	return err
}

// CheckKit refuses, before the source is read, an output that could not be written.
func CheckKit(place string, sources []string, zipped, replace bool) error {
	return publish.Check(place, kitPlace(sources, zipped, replace))
}

// kitPlace is how a kit is published: a zip file takes the place of a zip file
// only, a folder that of a folder.
func kitPlace(sources []string, zipped, replace bool) publish.Options {
	o := publish.Options{Replace: replace, Ours: func(dir string) []string { return plan.FilesOf(dir, KitFile, kitKind) }, Reads: sources}
	if zipped {
		o.Ours = publish.Single(isKitZip)
	}
	return o
}

// ReadKit reads the record of a kit's folder or of its zip file.
func ReadKit(place string) (r KitRecord, err error) {
	var data []byte
	if info, e := os.Stat(place); e == nil && !info.IsDir() {
		data, err = recordInZip(place)
	} else {
		data, err = regular.Read(filepath.Join(place, KitFile), plan.MostRecord)
	}
	if err == nil {
		err = json.Unmarshal(data, &r)
	}
	if err == nil && (r.Kind != kitKind || r.Format != plan.Format) {
		err = fmt.Errorf("%s: %s is not the record of a kit of this program", place, KitFile)
	}
	return r, err
}

// IsKit tells whether a folder or a zip file is a kit of this program.
func IsKit(place string) bool {
	_, err := ReadKit(place)
	return err == nil
}

// KitPlace is where a kit is written unless somebody says otherwise: NAME-kit
// or NAME-kit.zip in the current folder.
func KitPlace(source string, zipped bool) string {
	place := strings.TrimSuffix(plan.OutputFolder(source), "-print") + "-kit"
	if zipped {
		place += zipSuffix
	}
	return place
}
