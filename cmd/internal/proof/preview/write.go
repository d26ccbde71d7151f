// Package preview draws the sheets of a job as they come out of the printer.
//
// Start with [Folder], which writes a PNG file for each side of each sheet, or
// with [Page], which writes one HTML page that holds them all. What lies on a
// sheet is told by package proof, which prints the files as they lie; each side
// is shown as it is looked at, the back after turning the sheet about its long
// edge, like the page of a book.
package preview

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
)

// recordFile is the name of the record in a folder of pictures.
const recordFile = "preview.json"

const (
	recordKind   = "foldwright preview"
	recordFormat = 1
)

// record is what a folder of pictures says of itself, so that they are told
// from other pictures that somebody puts there.
type record struct {
	Kind   string   `json:"kind"`
	Format int      `json:"format"`
	Source string   `json:"source"` // its file name without folders
	Files  []string `json:"files"`
}

// Folder writes a PNG file for each side, sheet-001-front.png and so on, and a
// record of them.
func Folder(ctx context.Context, p *proof.Print, o Options, dir string) error {
	digits := 3
	for _, s := range p.Sheets {
		digits = max(digits, len(fmt.Sprint(s.Number)))
	}
	made := record{Kind: recordKind, Format: recordFormat, Source: p.SourceName()}
	err := drawAll(ctx, p, o, func(front, back picture) error {
		var errs [2]error
		for i, one := range []picture{front, back} {
			name := fmt.Sprintf("sheet-%0*d-%s.png", digits, one.Sheet, one.Side)
			made.Files = append(made.Files, name)
			errs[i] = os.WriteFile(filepath.Join(dir, name), one.PNG, 0o666)
		}
		return errors.Join(errs[:]...)
	})
	if err != nil {
		return err
	}
	return plan.WriteRecord(filepath.Join(dir, recordFile), made)
}

// Files names the files of a folder that [Folder] has written, the record last;
// none if it has not.
func Files(dir string) []string {
	data, err := os.ReadFile(filepath.Join(dir, recordFile))
	if err != nil {
		return nil
	}
	var r record
	if json.Unmarshal(data, &r) != nil || r.Kind != recordKind || r.Format != recordFormat {
		return nil
	}
	return append(r.Files, recordFile)
}
