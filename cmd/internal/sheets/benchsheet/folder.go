// Package benchsheet draws what a binder lays beside the work: the piercing
// guide at exact size ([Guide]) and the bench sheet with its figures, the boards
// and the cloth ([BenchSheet]). [Write] puts both into a folder.
//
// It works nothing out: figures and stations come from package binding. All
// drawings are in black and grey and carry a rule, by which one sees whether
// the printer has printed them at actual size.
package benchsheet

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// Options is what is written into a folder.
type Options struct {
	Title     string       // of the book
	Paper     geom.Size    // of the piercing guide
	PaperName string       // PWG 5101.1
	Style     phrase.Style // in which options are named
	Ways      func(binding.Sheet) []Way
	Figures   string               // the figures as text
	Replace   bool                 // an earlier folder of ours
	Plan      string               // the folder whose plan was read
	Kept      func(names []string) // is told what a replaced folder held besides
}

// officePaper is the paper of the bench sheet, which is not drawn to size: A4,
// or Letter where the book is on North American paper.
func officePaper(name string) geom.Size {
	if strings.HasPrefix(name, "na_") {
		return geom.Size{W: 215.9, H: 279.4}
	}
	return geom.Size{W: 210, H: 297}
}

// figuresFile holds the figures as text; its first line marks a folder as ours.
const (
	figuresFile = "figures.txt"
	mark        = "foldwright measure: "
)

// Write writes the sheets of all volumes into a folder, complete or not at
// all. Its errors are those of package publish.
func Write(ctx context.Context, place string, sheets []binding.Sheet, o Options) error {
	how := publish.Options{Replace: o.Replace, Ours: files, Reads: []string{o.Plan}, Kept: o.Kept}
	return publish.Folder(ctx, place, how, func(ctx context.Context, dir string) error {
		guide := pdf.PrintFile{Paper: o.Paper.Portrait(), Title: o.Title + ", piercing guide", Duplex: pdf.Simplex}
		bench := pdf.PrintFile{Paper: officePaper(o.PaperName), Title: o.Title + ", bench sheet", Duplex: pdf.Simplex}
		for i, s := range sheets {
			title := o.Title
			if len(sheets) > 1 {
				title = fmt.Sprintf("%s, volume %d", o.Title, i+1)
			}
			guide.Sides = append(guide.Sides, Guide{title, guide.Paper, s}.Sides()...)
			bench.Sides = append(bench.Sides, BenchSheet{title, bench.Paper, s, o.Style, o.Ways(s)}.Sides()...)
		}
		for name, file := range map[string]pdf.PrintFile{SheetFile: bench, GuideFile: guide} {
			if err := publish.Create(filepath.Join(dir, name), func(w io.Writer) error { return pdf.Write(ctx, w, file) }); err != nil {
				return err
			}
		}
		return publish.Create(filepath.Join(dir, figuresFile), func(w io.Writer) error {
			_, err := io.WriteString(w, textOf(o.Title, o.Figures))
			return err
		})
	})
}

func textOf(title, figures string) string { return mark + title + "\n\n" + figures }

// Holds tells whether a folder of ours is of this title and these figures.
func Holds(dir, title, figures string) bool {
	data, err := regular.Read(filepath.Join(dir, figuresFile), 10_000_000)
	return err == nil && string(data) == textOf(title, figures)
}

// files names the files of a folder with sheets of this program.
func files(dir string) []string {
	data, err := regular.Read(filepath.Join(dir, figuresFile), 10_000_000)
	if err != nil || !strings.HasPrefix(string(data), mark) {
		return nil
	}
	return []string{SheetFile, GuideFile, figuresFile}
}
