// Package proof finds out, before a sheet is printed, whether the files of a
// job make the book.
//
// [Open] takes the print files of a folder as they lie there, prints them on
// the virtual printer of the job's profile, and cuts, folds and nests what comes
// out: then it is known which part of which page of which file every place of
// the book is. [Print.Check] draws these parts and compares each with what the
// source shows, drawn where it should stand. [Print.WriteBook] writes the book
// that would come out as spreads, and [Print.Sheets] are the printed sheets, for
// pictures of them.
//
// What it checks it does not ask: where a page has landed is told by the
// simulators (packages virtual and paper), and what should stand there is worked
// out here from the options. Of plan.json only source, paper, fold, cut, nest,
// binding, the gatherings' sizes, options and profile are read. From package
// reorder come types, and what the hands are told to do with the paper; a test
// keeps it so.
//
// # What is compared
//
// Both pictures are drawn by one engine with the same pixels, so they agree
// to the last bit but for rounding, and a small difference is a fault. Where
// the job puts marks of its own, along folds, on cuts and beyond the trimmed
// leaf, more may be printed than the source has, but nothing may be missing. A
// correction for the printer's registration is undone by the virtual printer,
// which has the errors that the profile tells of.
//
// Pages that look alike cannot be told from each other. Form fields, and annotations
// without an appearance, are drawn by package pdf in both pictures: no two readers draw them alike.
//
// Whether the print files are sound as files is asked of package secondreader.
package proof

import (
	"context"
	"errors"
	"fmt"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/secondreader"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Print is the files of a folder, printed and folded.
type Print struct {
	Folder string
	Files  []*File // in printing order
	Sheets []Sheet // of the finished stack, from the top
	Places []Place // of the book, in reading order; of copies one after the other
	plan   record
	runs   []int   // sheets in each run
	faults []Fault // that concern no single page
}

// Open prints and folds the files of a folder. What it cannot work with is an
// error: a folder without a plan, a file that cannot be read
// ([*pdf.Error]), facts or a form that cannot be. What is wrong with the print
// is a fault, which [Print.Check] reports.
func Open(ctx context.Context, folder string) (p *Print, err error) {
	p = &Print{Folder: folder}
	if p.plan, err = readPlan(folder); err != nil {
		return nil, err
	}
	if p.Files, err = openFiles(ctx, folder, p.plan.Runs); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, p.Close())
			p = nil
		}
	}()
	if len(p.Files) == 0 {
		p.addFault("there are no print files")
	}
	if err := p.printSheets(); err != nil {
		return nil, err
	}
	return p, p.foldBook()
}

// Close closes the files.
func (p *Print) Close() error { return closeFiles(p.Files) }

// SourceName is the file name of the job's source.
func (p *Print) SourceName() string { return p.plan.Source.File }

// Paper is the size of the sheets, in feed orientation.
func (p *Print) Paper() geom.Size { return p.plan.paper() }

// Options is how a print is checked.
type Options struct {
	Renderer *render.Renderer
	Source   string  // where it lies; empty: where [plan.FindSource] finds it
	Password string  // of the source
	DPI      float64 // of the pictures that are compared; 0: 60
	Progress interface {
		Start(what string, total int)
		Step(n int)
		Done()
	}
}

// Result is what a check has found.
type Result struct {
	Source string // where it lies
	Pages  int    // places that were compared, blanks too
	Faults []Fault
	// Unseen is what could not be compared, and Why names it, with the reasons.
	Unseen int
	Why    []string
	Notes  []string // what a second reader said that is no fault
	// Mean and Worst are the largest differences, in percent of the step from
	// black to white, of a right page and of a block of 8 x 8 pixels on one.
	Mean, Worst float64
}

// Check compares the book with its source, page by page.
//
// The errors are another source, or none, those of opening the source, and those of
// the renderer that concern no single page.
func (p *Print) Check(ctx context.Context, o Options) (Result, error) {
	if p.plan.Options.Dummy {
		return Result{}, refusal.Plan.New("%s: holds a dummy: there are numbers where pages would be, so nothing can be compared", p.Folder)
	}
	path := o.Source
	if path == "" {
		var err error
		if path, err = plan.FindSource(p.Folder, p.plan.Source); err != nil {
			return Result{}, err
		}
	}
	doc, err := survey.Open(ctx, path, o.Password, o.Renderer)
	if err != nil {
		return Result{}, err
	}
	if doc.SHA256() != p.plan.Source.SHA256 {
		return Result{}, errors.Join(plan.OtherSource(path), doc.Close())
	}
	drawing, err := doc.Render(ctx)
	if err != nil {
		return Result{}, errors.Join(err, doc.Close())
	}
	s := &source{ctx: ctx, path: path, doc: doc.Document, drawing: drawing, pages: doc.Pages()}
	result, err := p.check(ctx, o, s)
	if err == nil {
		err = p.askSecondReader(ctx, path, o.Password, &result)
	}
	result.Source = path
	return result, errors.Join(err, s.close())
}

func (p *Print) check(ctx context.Context, o Options, s *source) (Result, error) {
	text, err := s.text(p.plan.Options)
	if err != nil {
		return Result{}, fmt.Errorf("%s: %w", p.Folder, err)
	}
	if o.DPI == 0 {
		o.DPI = 60
	}
	c := checker{Print: p, Options: o, source: s, files: map[*File]*render.Document{}}
	c.expect(text)
	for _, f := range p.Files {
		if c.files[f], err = o.Renderer.Open(ctx, f.path, ""); err != nil {
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
func (p *Print) askSecondReader(ctx context.Context, source, password string, r *Result) error {
	var inherited error // the source's refusal
	asked := false
	for _, f := range p.Files {
		err := secondreader.Check(ctx, f.path, "")
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
			inherited = secondreader.Check(ctx, source, password)
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
