package testsheet

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"foldwright/cmd/internal/pdf"
	"foldwright/printer"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder"
)

// The print files of the test sheet.
const (
	FrontFile = "test-front.pdf"
	BackFile  = "test-back.pdf"
	BothFile  = "test-both.pdf"
)

// StepsFile is what to do with them: the screen is seldom beside the printer.
const StepsFile = "steps.txt"

// File is one print file of the test.
type File struct {
	Name string
	pdf.PrintFile
}

// Files are the three print files: the fronts and the backs, to be printed by
// hand, and both for a printer that turns the paper itself. The first sheet
// comes first in each.
func Files(paper reorder.Paper, three bool) []File {
	front := File{FrontFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, front", Duplex: pdf.Simplex}}
	back := File{BackFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, back", Duplex: pdf.Simplex}}
	// Whatever the printer makes of the long edge is what its profile says
	// afterwards, so every automatic file asks for the long edge.
	both := File{BothFile, pdf.PrintFile{Paper: paper.Size, Title: "Test sheet, both sides", Duplex: pdf.LongEdge}}
	for _, s := range Sheets(paper, three) {
		front.Sides = append(front.Sides, s.Front(printer.ByHand))
		back.Sides = append(back.Sides, s.Back())
		both.Sides = append(both.Sides, s.Front(printer.Automatic), s.Back())
	}
	return []File{front, back, both}
}

// Encode writes the file.
func (f File) Encode(ctx context.Context, w io.Writer) error {
	return pdf.Write(ctx, w, f.PrintFile)
}

const (
	// Folder is where the test sheet is written unless somebody says otherwise.
	Folder = "test-sheet"
	// recordFile has the name that plans of jobs have, and says that it is none.
	recordFile   = "plan.json"
	recordKind   = "foldwright test sheet"
	recordFormat = 1
)

// Record is what a folder says of the test sheet in it.
type Record struct {
	Kind           string        `json:"kind"`
	Format         int           `json:"format"`
	ProgramVersion string        `json:"program-version"`
	Paper          reorder.Paper `json:"paper"`
	Three          bool          `json:"three"` // three sheets, not one
	Files          []string      `json:"files"`
}

// Options is what is written into a folder.
type Options struct {
	Paper   reorder.Paper
	Three   bool // three sheets, not one
	Version string
	Replace bool                 // an earlier folder with a test sheet of ours
	Kept    func(names []string) // is told what that held besides
}

// Write writes the print files, their steps and their record to place, complete or not at
// all. Its errors are paper that is too small and those of package publish.
func Write(ctx context.Context, place string, o Options) error {
	if err := Check(o.Paper); err != nil {
		return err
	}
	return publish.Folder(ctx, place, publish.Options{Replace: o.Replace, Ours: files, Kept: o.Kept}, func(ctx context.Context, dir string) error {
		record := Record{
			Kind: recordKind, Format: recordFormat, ProgramVersion: o.Version,
			Paper: o.Paper, Three: o.Three,
		}
		for _, f := range Files(o.Paper, o.Three) {
			if err := publish.Create(filepath.Join(dir, f.Name), func(w io.Writer) error { return f.Encode(ctx, w) }); err != nil {
				return err
			}
			record.Files = append(record.Files, f.Name)
		}
		if err := os.WriteFile(filepath.Join(dir, StepsFile), []byte(Steps(o.Three)), 0o666); err != nil {
			return err
		}
		record.Files = append(record.Files, StepsFile)
		data, err := json.MarshalIndent(record, "", "  ")
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(dir, recordFile), append(data, '\n'), 0o666)
	})
}

// Read reads the record of a folder.
func Read(folder string) (Record, error) {
	var r Record
	data, err := regular.Read(filepath.Join(folder, recordFile), 1_000_000)
	if err != nil {
		return r, err
	}
	if err := json.Unmarshal(data, &r); err != nil {
		return r, fmt.Errorf("%s: %s is damaged: %w", folder, recordFile, err)
	}
	if r.Kind != recordKind || r.Format != recordFormat {
		return r, fmt.Errorf("%s: %s tells of no test sheet of this program", folder, recordFile)
	}
	return r, nil
}

// files names the files of a test sheet in its folder.
func files(dir string) []string {
	r, err := Read(dir)
	if err != nil {
		return nil
	}
	return append(r.Files, recordFile)
}

// IsFolder tells whether a folder holds a test sheet of this program.
func IsFolder(dir string) bool {
	_, err := Read(dir)
	return err == nil
}
