package job

import (
	"archive/zip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/publish"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/testsheet"
	"foldwright/printer"
	"foldwright/reorder"
)

const (
	// KitFile is the name of the record in a kit.
	KitFile = "kit.json"
	// StartFile and StartPrint are the page that a person begins with.
	StartFile  = "start-here.html"
	StartPrint = "start-here.pdf"

	kitKind   = "foldwright kit"
	kitFormat = 1
	// kitPrinter is the printer for which the sides are drawn: one that turns
	// sheets about the long edge, of which no errors are known.
	kitPrinter = "by-hand-long"
)

// KitRecord is what kit.json holds. Start is what start-here tells.
type KitRecord struct {
	Kind           string          `json:"kind"`
	Format         int             `json:"format"`
	ProgramVersion string          `json:"program_version"`
	Source         PlanSource      `json:"source"`
	Paper          PlanPaper       `json:"paper"`
	Sheets         int             `json:"sheets"`
	Gatherings     []PlanGathering `json:"gatherings"`
	Start          runsheet.Start  `json:"start"`
	Files          []PlanFileEntry `json:"files"`
}

// Kit is a book for printers that nobody has seen: the test sheets, the files
// among which they choose, and a page that says how.
type Kit struct {
	*Draft
	start runsheet.Start
	files []kitFile
}

type kitFile struct {
	name  string
	sides int
	write func(context.Context, io.Writer) error
}

// KitOptions are the options with which the draft of a kit is made. A printer
// is refused with a [*UseError].
func KitOptions(o Options) (Options, error) {
	if o.Printer != "" {
		return o, &UseError{"a kit serves every printer, so it takes no --printer", "for a printer that is known, use prepare"}
	}
	if o.Run == (Run{}) {
		o.Run = Run{Book: true}
	}
	o.Printer = kitPrinter
	return o, nil
}

// Kit plans the files of a kit. The draft has to be made with [KitOptions]. A
// book whose backs stay blank is refused with a [*UseError].
func (d *Draft) Kit() (*Kit, error) {
	if !d.Book.Form.TwoSided() {
		return nil, &UseError{"a kit holds books that are printed on both faces", "with --fold pouch or concertina use prepare"}
	}
	if err := testsheet.Check(d.Paper); err != nil {
		return nil, err
	}
	k := &Kit{Draft: d, start: runsheet.Start{
		TestFront: testsheet.FrontFile, TestBack: testsheet.BackFile, TestBoth: testsheet.BothFile,
		PutBack: []runsheet.PutBackRead{
			{Reading: "A2", Reload: printer.AsDelivered}, {Reading: "A4", Reload: printer.RotateHalf},
			{Reading: "A1", Reload: printer.TurnLong}, {Reading: "A3", Reload: printer.TurnShort},
		},
		Edges: []runsheet.EdgeRead{{Reading: "A2", Edge: printer.LongEdge}, {Reading: "A4", Edge: printer.ShortEdge}},
	}}
	for _, f := range testsheet.Files(d.Paper, true) {
		k.files = append(k.files, kitFile{f.Name, len(f.Sides), f.Encode})
	}
	for _, run := range d.Runs {
		k.addRun(run)
	}
	return k, nil
}

// addRun adds the files of a run. The test sheets are printed in rising order.
// Where the last of them, III, lies on top with its back up, rising order is
// right for the book too: turned fronts up, its first sheet lies on top.
func (k *Kit) addRun(run RunFiles) {
	out := runsheet.StartRun{Number: run.Number, Sheets: run.Sheets()}
	if !k.Options.NoSideNames {
		out.First, out.Last = k.sideName(run, 1, reorder.Front), k.sideName(run, run.Sheets(), reorder.Front)
	}
	names := map[printer.Pass]*runsheet.ByTop{printer.FrontPass: &out.Front, printer.BackPass: &out.Back, printer.BothPass: &out.Both}
	for _, s := range printer.SharedFiles(run.Sheets(), true) {
		name := fmt.Sprintf("by-hand-%s", s.Pass)
		if s.Pass == printer.BothPass {
			name = "two-sided"
		}
		if len(k.Runs) > 1 {
			name = fmt.Sprintf("run-%0*d-%s", max(2, len(fmt.Sprint(len(k.Runs)))), run.Number, name)
		}
		if s.Descending {
			name += "-top-I.pdf"
			names[s.Pass].One = name
		} else {
			name += "-top-III.pdf"
			names[s.Pass].Three = name
		}
		content := k.printFile(run, PassFile{name, s.File})
		k.files = append(k.files, kitFile{name, len(s.Images), func(ctx context.Context, w io.Writer) error {
			return k.Source.Write(ctx, w, content)
		}})
	}
	k.start.Runs = append(k.start.Runs, out)
}

// Sides is the number of sides that the files hold together.
func (k *Kit) Sides() (n int) {
	for _, f := range k.files {
		n += f.sides
	}
	return n
}

// page is what start-here tells.
func (k *Kit) page() runsheet.Kit { return runsheet.Kit{Job: k.runSheet(), Start: k.start} }

// Write writes the kit to place, as a folder or as a zip file with that folder
// in it, complete or not at all.
func (k *Kit) Write(ctx context.Context, place string, zipped, replace bool, progress Progress) error {
	o := publish.Options{Replace: replace, Ours: IsKit}
	build := func(ctx context.Context, dir string) error { return k.build(ctx, dir, progress) }
	if !zipped {
		return publish.Folder(ctx, place, o, build)
	}
	return publishZip(ctx, place, o, build)
}

// CheckKit refuses an output that could not be written.
func CheckKit(place string, replace bool) error {
	return publish.Check(place, publish.Options{Replace: replace, Ours: IsKit})
}

func (k *Kit) build(ctx context.Context, dir string, progress Progress) error {
	entries := make([]PlanFileEntry, len(k.files))
	group, inner := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, f := range k.files {
		group.Go(func() (err error) {
			entries[i], err = writeFile(filepath.Join(dir, f.name), func(w io.Writer) error { return f.write(inner, w) })
			progress.Step(f.sides)
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for _, f := range []kitFile{
		{StartFile, 0, func(_ context.Context, w io.Writer) error { return runsheet.WriteKit(w, k.page()) }},
		{StartPrint, 0, func(ctx context.Context, w io.Writer) error {
			return pdf.WriteDrawings(ctx, w, typeset(k.SourceName, k.Paper.Size, runsheet.Lines(runsheet.KitParts(k.page()))))
		}},
	} {
		entry, err := writeFile(filepath.Join(dir, f.name), func(w io.Writer) error { return f.write(ctx, w) })
		if err != nil {
			return err
		}
		entries = append(entries, entry)
	}
	plan := k.Plan()
	data, err := json.MarshalIndent(KitRecord{
		kitKind, kitFormat, k.version, plan.Source, plan.Paper, plan.Sheets, plan.Gatherings, k.start, entries,
	}, "", "  ")
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, KitFile), append(data, '\n'), 0o666)
}

// ReadKit reads the record of a kit's folder or of its zip file.
func ReadKit(place string) (r KitRecord, err error) {
	var data []byte
	if info, e := os.Stat(place); e == nil && !info.IsDir() {
		data, err = recordInZip(place)
	} else {
		data, err = os.ReadFile(filepath.Join(place, KitFile))
	}
	if err != nil {
		return r, err
	}
	if err := json.Unmarshal(data, &r); err != nil {
		return r, fmt.Errorf("%s: %s is damaged: %w", place, KitFile, err)
	}
	if r.Kind != kitKind || r.Format != kitFormat {
		return r, fmt.Errorf("%s: %s tells of no kit of this program", place, KitFile)
	}
	return r, nil
}

// IsKit tells whether a folder or a zip file is a kit of this program.
func IsKit(place string) bool {
	_, err := ReadKit(place)
	return err == nil
}

func recordInZip(path string) (_ []byte, err error) {
	z, err := zip.OpenReader(path)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, z.Close()) }()
	i := slices.IndexFunc(z.File, func(f *zip.File) bool { return filepath.Base(f.Name) == KitFile })
	if i < 0 {
		return nil, &fs.PathError{Op: "read", Path: path, Err: fs.ErrNotExist}
	}
	f, err := z.File[i].Open()
	if err != nil {
		return nil, err
	}
	const most = 1 << 26
	return io.ReadAll(io.LimitReader(f, most))
}

// KitPlace is where a kit is written unless somebody says otherwise: NAME-kit
// or NAME-kit.zip in the current folder.
func KitPlace(source string, zipped bool) string {
	base := OutputFolder(source)
	base = base[:len(base)-len("-print")] + "-kit"
	if zipped {
		base += ".zip"
	}
	return base
}
