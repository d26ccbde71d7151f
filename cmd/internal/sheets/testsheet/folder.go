package testsheet

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"foldwright/cmd/internal/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder"
)

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
	Kind           string      `json:"kind"`
	Format         int         `json:"format"`
	ProgramVersion string      `json:"program_version"`
	Paper          RecordPaper `json:"paper"`
	Three          bool        `json:"three"` // three sheets, not one
	Files          []string    `json:"files"`
}

// RecordPaper is the paper in feed orientation.
type RecordPaper struct {
	Name     string  `json:"name"` // PWG 5101.1
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
}

// Options is what is written into a folder.
type Options struct {
	Paper   reorder.Paper
	Three   bool // three sheets, not one
	Version string
	Replace bool                 // an earlier folder with a test sheet of ours
	Kept    func(names []string) // is told what that held besides
}

// Write writes the print files and their record to place, complete or not at
// all. Its errors are paper that is too small and those of package publish.
func Write(ctx context.Context, place string, o Options) error {
	if err := Check(o.Paper); err != nil {
		return err
	}
	return publish.Folder(ctx, place, publish.Options{Replace: o.Replace, Ours: files, Kept: o.Kept}, func(ctx context.Context, dir string) error {
		record := Record{
			Kind: recordKind, Format: recordFormat, ProgramVersion: o.Version,
			Paper: RecordPaper{o.Paper.Name, o.Paper.Size.W, o.Paper.Size.H}, Three: o.Three,
		}
		for _, f := range Files(o.Paper, o.Three) {
			if err := f.create(ctx, dir); err != nil {
				return err
			}
			record.Files = append(record.Files, f.Name)
		}
		data, err := json.MarshalIndent(record, "", "  ")
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(dir, recordFile), append(data, '\n'), 0o666)
	})
}

func (f File) create(ctx context.Context, dir string) (err error) {
	w, err := os.OpenFile(filepath.Join(dir, f.Name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.Close()) }()
	return f.Encode(ctx, w)
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
