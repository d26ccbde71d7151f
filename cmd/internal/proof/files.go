package proof

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
)

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

var fileName = regexp.MustCompile(`^run-(\d+)-(front|back|both)\.pdf$`)

// openFiles opens the print files of a folder, in printing order. What the
// plan says of them does not count: they are taken as they lie.
func openFiles(ctx context.Context, folder string) (files []*File, err error) {
	defer func() {
		if err != nil {
			err = errors.Join(err, closeFiles(files))
			files = nil
		}
	}()
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, err
	}
	passes := map[string]printer.Pass{}
	for _, pass := range []printer.Pass{printer.FrontPass, printer.BackPass, printer.BothPass} {
		passes[pass.String()] = pass
	}
	for _, e := range entries {
		match := fileName.FindStringSubmatch(e.Name())
		if match == nil {
			continue
		}
		run, err := strconv.Atoi(match[1])
		if err != nil {
			continue
		}
		f := &File{Name: e.Name(), Run: run, Pass: passes[match[2]], path: filepath.Join(folder, e.Name())}
		if f.doc, err = pdf.Open(ctx, f.path, pdf.Options{}); err != nil {
			return files, err
		}
		files = append(files, f)
	}
	slices.SortFunc(files, func(a, b *File) int {
		if a.Run != b.Run {
			return a.Run - b.Run
		}
		return int(a.Pass) - int(b.Pass)
	})
	return files, nil
}

func closeFiles(files []*File) error {
	var errs []error
	for _, f := range files {
		errs = append(errs, f.doc.Close())
	}
	return errors.Join(errs...)
}
