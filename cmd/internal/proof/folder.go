package proof

import (
	"context"
	"errors"
	"io/fs"
	"path/filepath"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/reorder/geom"
)

// record is what a proof takes of the plan of a job: what it was made from and for.
type record struct{ plan.Plan }

// readPlan reads the plan in a folder and forgets at once which page the planner has put
// where, and how large, for that is to be proved. Its errors are a [*plan.Error].
func readPlan(folder string) (record, error) {
	p, err := plan.Read(folder)
	p.Scale = 0
	for i := range p.Gatherings {
		p.Gatherings[i].Pages, p.Gatherings[i].Halves = nil, nil
	}
	return record{p}, err
}

func (p record) paper() geom.Size { return p.Paper.Size }

// sizes is the printed sheets of each gathering.
func (p record) sizes() []int {
	out := make([]int, len(p.Gatherings))
	for i, g := range p.Gatherings {
		out[i] = g.Sheets
	}
	return out
}

// stacksOfPieces is the pieces of gatherings that are cut as one, where they are counted in them.
func (p record) stacksOfPieces() (out [][]int) {
	for i, g := range p.Gatherings {
		if i == 0 || g.Stack != p.Gatherings[i-1].Stack || g.Copy != p.Gatherings[i-1].Copy {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], g.Pieces)
	}
	return out
}

// before is how many places of a copy of the book come before those that are printed, and
// whole how many it has, of which so many are printed.
func (p record) before(printed int) (before, whole int) {
	first := p.Gatherings[0]
	unit, units, all := first.FirstSheet-1, p.Sheets/max(1, p.Copies), p.BookSheets
	if p.Options.Pieces > 0 {
		unit, units, all = first.FirstPiece-1, 0, p.BookPieces
		for _, g := range p.Gatherings {
			units += g.Pieces
		}
		units /= max(1, p.Copies)
	}
	each := printed / max(1, units)
	return unit * each, printed + max(0, all-units)*each
}

// File is a print file as it lies in the folder.
type File struct {
	Name string
	Run  int
	Pass printer.Pass
	doc  *pdf.Document
}

// Path is where it lies.
func (f *File) Path() string { return f.doc.Path() }

// Pages is the number of its pages.
func (f *File) Pages() int { return len(f.doc.Pages()) }

// openFiles opens the print files that the plan names, in printing order, and takes
// them as they lie. One that is not there prints nothing, which is found out from the
// book.
func (p *Print) openFiles(ctx context.Context) error {
	for _, r := range p.plan.Runs {
		for _, pass := range r.Passes {
			name := filepath.Base(pass.Name) // wherever the plan comes from, no other folder is meant
			doc, err := pdf.Open(ctx, filepath.Join(p.Folder, name), pdf.Options{})
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			if err != nil {
				return err
			}
			p.Files = append(p.Files, &File{name, r.Number, pass.Pass, doc})
		}
	}
	return nil
}

// Close closes the files.
func (p *Print) Close() error {
	var errs []error
	for _, f := range p.Files {
		errs = append(errs, f.doc.Close())
	}
	for _, in := range p.inserts {
		errs = append(errs, in.print.Close())
	}
	return errors.Join(errs...)
}
