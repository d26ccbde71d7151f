// Package proof finds out, before a sheet is printed, whether the files of a
// job make the book.
//
// [Open] takes the print files of a folder as they lie there, prints them on
// the simulated printer of the job's profile, and cuts, folds and nests what comes
// out: then it is known which part of which page of which file every place of
// the book is. [Print.Check] draws these parts and compares each with what the
// source shows, drawn where it should stand. [Print.WriteBook] writes the book
// that would come out as spreads, and [Print.Sheets] are the printed sheets, for
// pictures of them.
//
// What it checks it does not ask: where a page has landed is told by the
// simulators (packages virtual and paper), and what should stand there, and how
// large, is worked out here from the options and what the survey says that each page
// shows. Of plan.json only source, paper, fold, cut, nest, binding, the gatherings'
// sizes, options and profile are read. From package reorder come types, and what the
// hands are told to do with the paper; a test keeps it so.
//
// # What is compared
//
// Both pictures are drawn by one engine with the same pixels, so they agree
// to the last bit but for rounding, and a small difference is a fault. Where
// the job puts marks of its own, along folds, on cuts and beyond the trimmed
// leaf, more may be printed than the source has, but nothing may be missing. A
// correction for the printer's registration is undone by the simulated printer,
// which has the errors that the profile tells of.
//
// Pages that look alike cannot be told from each other. Form fields, and annotations
// without an appearance, are drawn by package pdf in both pictures: no two readers draw them alike.
//
// Whether the print files are sound as files is asked of package secondreader.
package proof

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/secondreader"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/refusal"
)

// Print is the files of a folder, printed and folded.
type Print struct {
	Folder string
	Files  []*File // in printing order
	Sheets []Sheet // of the finished stack, from the top
	Places []Place // of the book, in reading order; of copies one after the other
	plan   record
	// Bound is the pages of the book with those of leaves of other paper between them, in reading order; nil: there are none.
	Bound   []Place
	inserts []*insert
	insert  int          // which of these it prints, from 1; 0: the book
	piles   []paper.Pile // gatherings as they are read
	spine   geom.Towards
	runs    []int   // sheets in each run
	faults  []Fault // that concern no single page
}

// Open prints and folds the files of a folder. What it cannot work with is an
// error: a folder without a plan, a file that cannot be read
// ([*pdf.Error]), facts or a form that cannot be. What is wrong with the print
// is a fault, which [Print.Check] reports.
func Open(ctx context.Context, folder string) (*Print, error) {
	p := &Print{Folder: folder}
	if err := p.make(ctx); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	return p, nil
}

// make prints and folds.
func (p *Print) make(ctx context.Context) (err error) {
	if p.plan, err = readPlan(p.Folder); err != nil {
		return err
	}
	if err := p.openFiles(ctx); err != nil {
		return err
	}
	if len(p.Files) == 0 {
		p.addFault("there are no print files")
	}
	if err := p.printSheets(); err != nil {
		return err
	}
	if err := p.foldBook(); err != nil {
		return err
	}
	return p.layIn(ctx)
}

// SourceName is the file name of the job's source.
func (p *Print) SourceName() string { return p.plan.Source.File }

// Paper is the size of the sheets, in feed orientation.
func (p *Print) Paper() geom.Size { return p.plan.paper() }

// Options is how a print is checked.
type Options struct {
	Renderer *render.Renderer
	Source   *survey.Source    // what the folder was made from
	DPI      float64           // of the pictures that are compared; 0: 60
	Progress progress.Reporter // nil: nobody is told
}

// Result is what a check has found.
type Result struct {
	Pages  int // places that were compared, blanks too
	Faults []Fault
	// Unseen is what could not be compared, and Why names it, with the reasons.
	Unseen int
	Why    []string
	Notes  []string // what a second reader said that is no fault
	// Mean and Worst are the largest differences, in percent of the step from
	// black to white, of a right page and of a block of 8 x 8 pixels on one.
	Mean, Worst float64
}

// FindSources is where the files lie that the folder was made from, in reading order: those that are named, else where
// [plan.FindSources] finds them. A dummy is refused: there is nothing to compare.
func (p *Print) FindSources(named []string) ([]string, error) {
	if err := p.refuseDummy(); err != nil || len(named) > 0 {
		return named, err
	}
	return plan.FindSources(p.Folder, p.plan.Source)
}

func (p *Print) refuseDummy() error {
	if p.plan.Options.Dummy {
		return refusal.Plan.New("%s is a dummy: its pages show numbers only, so there is nothing to compare", p.Folder)
	}
	return nil
}

// Check compares the book with its source, page by page.
//
// The errors are another source, and those of the renderer that concern no single page.
func (p *Print) Check(ctx context.Context, o Options) (found Result, err error) {
	if err := p.refuseDummy(); err != nil {
		return Result{}, err
	}
	if err := p.plan.Source.CheckIs(o.Source); err != nil {
		return Result{}, err
	}
	look, err := survey.Look(ctx, o.Source, p.plan.Options)
	if err != nil {
		return Result{}, fmt.Errorf("%s: %w", p.Folder, err)
	}
	drawing, err := look.Render(ctx)
	if err != nil {
		return Result{}, err
	}
	defer func() { err = errors.Join(err, drawing.Close()) }()
	found, err = p.check(ctx, o, look, drawing)
	if err == nil {
		err = p.askSecondReader(ctx, o.Source, &found)
	}
	for _, in := range p.inserts {
		if err == nil {
			err = in.check(ctx, o, &found)
		}
	}
	return found, err
}

// check compares with pictures of the source.
func (p *Print) check(ctx context.Context, o Options, look *survey.Survey, drawing *render.Document) (_ Result, err error) {
	o.DPI = cmp.Or(o.DPI, 60)
	o.Progress = cmp.Or(o.Progress, progress.Silent)
	c := checker{Print: p, Options: o, source: look.Source, drawing: drawing, files: map[*File]*render.Document{}, workers: max(1, o.Renderer.Workers())}
	c.expect(textOf(look, p.plan.Options), look)
	c.checkSlots()
	for _, f := range p.Files {
		if c.files[f], err = o.Renderer.Open(ctx, f.Path(), ""); err != nil {
			break
		}
	}
	if err == nil {
		err = c.run(ctx)
	}
	for _, d := range c.files {
		if d != nil {
			err = errors.Join(err, d.Close())
		}
	}
	return c.makeResult(), err
}

// askSecondReader adds to a result what another reader says of the print files:
// the printer's own may stumble where the renderer does not. Where it refuses the source as well, it may
// find fault with what the source has brought along, and its word is no more than a note.
func (p *Print) askSecondReader(ctx context.Context, source *survey.Source, r *Result) error {
	var inherited error // the source's refusal
	asked := false
	for _, f := range p.Files {
		err := secondreader.Check(ctx, f.Path(), "")
		switch {
		case err == nil:
			continue
		case errors.Is(err, secondreader.ErrTooLarge):
			r.Notes = append(r.Notes, fmt.Sprintf("%s was not shown to a second reader of PDF, which reads no files of more than %d MB", f.Name, secondreader.MostBytes>>20))
			continue
		case refusal.Of(err) != refusal.Source:
			return err
		}
		if !asked {
			inherited = askOfSource(ctx, source)
			asked = true
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if refusal.Of(inherited) == refusal.Source {
			r.Notes = append(r.Notes, fmt.Sprintf("a second reader of PDF refuses %s, and the source too: %v", f.Name, err))
			continue
		}
		r.Faults = append(r.Faults, Fault{File: f.Name, What: fmt.Sprintf("%s is refused by a second reader of PDF: %v", f.Name, err)})
	}
	return nil
}

// askOfSource is what a second reader says of the first file of the source that it refuses.
func askOfSource(ctx context.Context, source *survey.Source) error {
	for _, part := range source.Parts {
		if err := secondreader.Check(ctx, part.Path(), part.Password); refusal.Of(err) == refusal.Source || ctx.Err() != nil {
			return err
		}
	}
	return nil
}
