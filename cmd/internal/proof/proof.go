package proof

import (
	"context"
	"errors"
	"fmt"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
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
func (p *Print) Paper() reorder.Size { return p.plan.paper() }

// Options is how a print is checked.
type Options struct {
	Renderer *render.Renderer
	Source   string  // where it lies; empty: where [plan.FindSource] finds it
	Password string  // of the source
	DPI      float64 // of the pictures that are compared; 0: 60
	// Rescue is made for [pdf.Options].
	Rescue   func(ctx context.Context, path, password string) ([]byte, error)
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
	doc, err := pdf.Open(ctx, path, pdf.Options{Password: o.Password, Rescue: o.Rescue})
	if err != nil {
		return Result{}, err
	}
	if doc.SHA256() != p.plan.Source.SHA256 {
		return Result{}, errors.Join(plan.OtherSource(path), doc.Close())
	}
	drawing, err := survey.OpenDrawing(ctx, o.Renderer, doc, o.Password)
	if err != nil {
		return Result{}, errors.Join(err, doc.Close())
	}
	s := &source{ctx: ctx, path: path, doc: doc, drawing: drawing, pages: doc.Pages()}
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
