package job

import (
	"context"
	"fmt"
	"path/filepath"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// Setting is what a job finds around it and does not choose.
type Setting struct {
	Profiles profiles.Store
	Region   Region
	Version  string // of the program, for plan.json
	Engine   *Engine
	Password string // of the source
	// Proof says that Draft.Inspect will prove the folder: one that was proved
	// is another one for a shelf than one that was not.
	Proof bool
}

// Draft is a planned job: everything is decided and nothing is written.
type Draft struct {
	Source       *pdf.Document
	SourceName   string  // file name without its folder
	Options      Options // resolved
	Profile      profiles.Profile
	Guessed      bool // nobody named the printer: the usual case is assumed
	Paper        reorder.Paper
	PaperBecause string
	Book         reorder.Book // the whole book, also where only a part is printed
	Trim         reorder.Trim
	Structure    binding.Structure // rules of how the book is bound; zero: it is neither sewn nor pierced
	Measures     []binding.Sheet   // of each volume, what is known before sewing; none without a structure
	Placement    reorder.Placement
	Printed      []reorder.PlacedSheet // the sheets to be printed, from the top of the finished stack
	Volumes      []Volume              // at least one
	Runs         []RunFiles
	Handwork     []reorder.Motion // what the hands do with the printed sheets
	// Inspect, if set, looks at the finished folder before it is published; its
	// error keeps the folder from being.
	Inspect func(ctx context.Context, dir string) error

	folder    string  // the name of the job's folder, as soon as it is known
	shown     []Shown // by pages of the book, see Shown
	path      string  // of the source
	password  string
	freeSizes bool                   // nobody said how many sheets a gathering has
	marks     map[int][]reorder.Mark // by the number of the sheet in the book
	padding   int                    // blanks that fill the last gathering
	warnings  []string               // about the plan
	advice    []string               // what could be done better
	version   string
	request   string // see Asked
}

// RunFiles is a run with its files in printing order. First and Last count
// the sheets to be printed.
type RunFiles struct {
	Number int
	reorder.Run
	Files []PassFile
}

// PassFile is one print file.
type PassFile struct {
	Name string
	printer.File
}

// NewDraft plans a job. The caller closes the draft's source.
func NewDraft(ctx context.Context, path string, o Options, set Setting) (_ *Draft, err error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	profile, err := set.Profiles.Find(o.Printer)
	if err != nil {
		return nil, err
	}
	d := &Draft{SourceName: filepath.Base(path), Profile: profile, version: set.Version, path: path, password: set.Password}
	d.Guessed = o.Printer == "" && profile.Name == profiles.Guess
	d.freeSizes = o.Sheets == 0 && len(o.Gatherings) == 0 && o.GatheringThickness == Thickness{}
	d.Options, d.Paper, d.PaperBecause, err = o.resolved(profile, set.Region)
	if err != nil {
		return nil, err
	}
	if d.Structure, err = o.rules(); err != nil {
		return nil, err
	}
	d.Options.Structure = d.Structure.Name
	asked, err := ask(o, profile, d.Structure, d.Paper, set)
	if err != nil {
		return nil, err
	}
	d.request = asked.Of(path)
	if err := d.open(ctx, set.Engine); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			d.Source.Close()
		}
	}()
	if err := d.arrange(ctx, set.Engine); err != nil {
		return nil, err
	}
	d.warn()
	if err := d.Source.Err(); err != nil {
		return nil, err
	}
	if err := d.warnTrim(ctx, set.Engine); err != nil {
		return nil, err
	}
	return d, d.warnInk(ctx, set.Engine)
}

func (d *Draft) open(ctx context.Context, engine *Engine) (err error) {
	d.Source, err = pdf.Open(ctx, d.path, pdf.Options{Password: d.password, Rescue: engine.Rescue, Sum: true})
	return err
}

// arrange plans the opened source by the resolved options.
func (d *Draft) arrange(ctx context.Context, engine *Engine) error {
	pages, err := d.readingOrder(ctx, engine)
	if err != nil {
		return err
	}
	if err := d.plan(pages); err != nil {
		return d.asSource(err)
	}
	return nil
}

// readingOrder is the pages of the book with the blanks among them, and
// decides what they show.
func (d *Draft) readingOrder(ctx context.Context, engine *Engine) ([]int, error) {
	d.show()
	pages, err := d.chosen()
	if err != nil {
		return nil, err
	}
	if err := d.sound(pages); err != nil {
		return nil, err
	}
	if d.Options.Box == BoxContent {
		doc, err := engine.open(ctx, d.path, d.password)
		if err != nil {
			return nil, err
		}
		defer doc.Close()
		if err := d.fitContent(ctx, doc, pages); err != nil {
			return nil, err
		}
		if err := d.sound(pages); err != nil {
			return nil, err
		}
	}
	return d.textBlock(pages)
}

// plan arranges the pages, places them and shares the sheets out among runs.
func (d *Draft) plan(pages []int) (err error) {
	o := d.Options
	form := o.form()
	sizes := o.sizes(len(pages))
	if o.OnlyGathering > len(sizes) {
		return &ChoiceError{fmt.Sprintf("--only-gathering %d: the book has %s", o.OnlyGathering, reorder.Count(len(sizes), "gathering"))}
	}
	d.padding = padding(len(pages), form, sizes)
	stacks, err := o.stacks(sizes)
	if err != nil {
		return err
	}
	d.Book, err = reorder.ArrangeStacks(d.Paper.Size, form, o.Pad.Fill(pages, len(pages)+d.padding), stacks)
	if err != nil {
		return err
	}
	if d.Handwork, err = d.handwork(); err != nil {
		return err
	}
	d.Options.Leaf = reorder.LeafOf(d.Book.PanelSize())
	d.Volumes, err = d.volumes(sizes)
	if err != nil {
		return err
	}
	d.Trim, err = o.trim(d.Book.PanelSize())
	if err != nil {
		return err
	}
	if err := d.measure(); err != nil {
		return err
	}
	placing := o.placing()
	placing.Creep, placing.Trim = o.creep(d.Book), d.Trim
	d.Placement, err = placing.Place(d.Book, func(page int) reorder.Size { return d.Shown(page).Box.Size() })
	if err != nil {
		return err
	}
	d.Printed = d.Placement.Sheets
	if g := o.OnlyGathering; g > 0 {
		first := d.Book.Gatherings[g-1].Sheets[0].Number
		d.Printed = d.Printed[first-1 : first-1+sizes[g-1]]
		d.Runs = d.runs([][]int{sizes[g-1 : g]})
		d.mark()
		return nil
	}
	var byVolume [][]int
	for _, v := range d.Volumes {
		byVolume = append(byVolume, sizes[v.First-1:v.Last])
	}
	d.Runs = d.runs(byVolume)
	d.mark()
	return nil
}

// mark decides which marks stand on the sheets.
func (d *Draft) mark() { d.marks = d.marking().Marks(d.Book) }

// runs shares the printed gatherings of each volume out among runs and names
// their files.
func (d *Draft) runs(byVolume [][]int) []RunFiles {
	var runs []reorder.Run
	done := 0 // sheets
	for _, sizes := range byVolume {
		for _, run := range d.Options.runs(sizes) {
			run.First, run.Last = run.First+done, run.Last+done
			runs = append(runs, run)
		}
		done = runs[len(runs)-1].Last
	}
	digits := max(2, len(fmt.Sprint(len(runs))))
	out := make([]RunFiles, len(runs))
	for i, run := range runs {
		out[i] = RunFiles{Number: i + 1, Run: run}
		for _, f := range d.Profile.Files(run.Sheets(), d.Book.Form.TwoSided()) {
			name := fmt.Sprintf("run-%0*d-%s.pdf", digits, i+1, f.Pass)
			out[i].Files = append(out[i].Files, PassFile{name, f})
		}
	}
	return out
}

// Gatherings is the gatherings to be printed.
func (d *Draft) Gatherings() []reorder.Gathering {
	if g := d.Options.OnlyGathering; g > 0 {
		return d.Book.Gatherings[g-1 : g]
	}
	return d.Book.Gatherings
}

// printFile is the content of one file of a run.
func (d *Draft) printFile(run RunFiles, f PassFile) pdf.PrintFile {
	out := pdf.PrintFile{
		Paper:  d.Paper.Size,
		Title:  fmt.Sprintf("%s, run %d, %s", d.SourceName, run.Number, f.Pass),
		Duplex: duplex(f.Pass),
	}
	for _, image := range f.Images {
		out.Sides = append(out.Sides, d.side(run, image))
	}
	return out
}

// duplex is what the file asks of the print dialog: one-sided for passes by
// hand, and for automatic printers always the long edge, the setting under
// which their profiles are learned. Asking for the short edge would make the
// driver turn the backs a second time.
func duplex(pass printer.Pass) pdf.Duplex {
	if pass == printer.BothPass {
		return pdf.LongEdge
	}
	return pdf.Simplex
}

// side is one page of a print file: the planned side, corrected for what the
// printer does to it.
func (d *Draft) side(run RunFiles, image printer.Image) pdf.Side {
	out := pdf.Side{Pages: d.placed(run, image)}
	if d.Options.Dummy {
		out = d.dummySide(run, image)
	}
	var marks []reorder.Mark
	sheet := d.sheet(run, image.Sheet).Sheet
	for _, m := range d.marks[sheet.Number] {
		if m.Side == image.Side {
			marks = append(marks, m)
		}
	}
	drawMarks(&out.Drawing, marks, d.correction(image))
	if !d.Options.NoSideNames {
		d.drawNames(&out.Name, run, image)
	}
	return out
}

// placed is the pages of a side where they stand in its print file.
func (d *Draft) placed(run RunFiles, image printer.Image) []pdf.Placed {
	m := d.correction(image)
	var out []pdf.Placed
	for _, p := range d.sheet(run, image.Sheet).Side(image.Side) {
		s := d.Shown(p.Page)
		placed := pdf.Placed{
			Page:   s.Page,
			Matrix: reorder.Translate(-s.Box.X0, -s.Box.Y0).Then(p.Matrix).Then(m),
			Clip:   m.Bounds(p.Clip),
		}
		if s.Seen != d.Source.Pages()[s.Page-1].Visible() {
			placed.Box = s.Seen
		}
		out = append(out, placed)
	}
	return out
}

// sheet is a sheet by its place in a run, from 1.
func (d *Draft) sheet(run RunFiles, inRun int) reorder.PlacedSheet {
	return d.Printed[run.First+inRun-2]
}

func (d *Draft) correction(image printer.Image) reorder.Matrix {
	return printer.Correction(d.Paper.Size, image.Side, image.HalfTurn, d.Profile.Registration, d.Profile.Scale)
}

// Password is that of the source.
func (d *Draft) Password() string { return d.password }

// Close closes the source.
func (d *Draft) Close() error { return d.Source.Close() }
