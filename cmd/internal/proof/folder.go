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

func (p record) paper() geom.Size { return geom.Size{W: p.Paper.WidthMM, H: p.Paper.HeightMM} }

// sizes is the printed sheets of each gathering.
func (p record) sizes() []int {
	out := make([]int, len(p.Gatherings))
	for i, g := range p.Gatherings {
		out[i] = g.Sheets
	}
	return out
}

// File is a print file as it lies in the folder.
type File struct {
	Name string
	Run  int
	Pass printer.Pass
	path string
	doc  *pdf.Document
}

// Path is where it lies.
func (f *File) Path() string { return f.path }

// Pages is the number of its pages.
func (f *File) Pages() int { return len(f.doc.Pages()) }

// openFiles opens the print files of a folder that the plan names, in printing
// order, and takes them as they lie. One that is not there prints nothing, which
// is found out from the book.
func openFiles(ctx context.Context, folder string, runs []plan.Run) (files []*File, err error) {
	defer func() {
		if err != nil {
			err = errors.Join(err, closeFiles(files))
			files = nil
		}
	}()
	for _, r := range runs {
		for _, pass := range r.Passes {
			name := filepath.Base(pass.Name) // wherever the plan comes from, no other folder is meant
			f := &File{Name: name, Run: r.Number, Pass: pass.Pass, path: filepath.Join(folder, name)}
			f.doc, err = pdf.Open(ctx, f.path, pdf.Options{})
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			if err != nil {
				return files, err
			}
			files = append(files, f)
		}
	}
	return files, nil
}

func closeFiles(files []*File) error {
	var errs []error
	for _, f := range files {
		errs = append(errs, f.doc.Close())
	}
	return errors.Join(errs...)
}
