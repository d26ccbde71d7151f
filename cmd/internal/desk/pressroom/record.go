package pressroom

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"path/filepath"

	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// recordFile is where a job's folder tells how far its printing is for somebody who follows the pages.
// What a printer was sent stands in the journal beside it.
const (
	recordFile   = "print-pages.json"
	recordKind   = "foldwright print pages"
	recordFormat = 1
)

// way is how the person prints.
type way string

const (
	undecided way = ""
	byPrinter way = "printer" // the engine sends to a printer
	byFiles   way = "files"   // the person prints files
	making    way = "making"  // all is printed, and the gatherings are made
)

// record is how far the printing of a job is.
type record struct {
	Kind   string `json:"kind"`
	Format int    `json:"format"`
	Plan   string `json:"plan-sha256"`
	Way    way    `json:"way,omitempty"`
	To     string `json:"to,omitempty"` // the printer's address
	Tray   string `json:"tray,omitempty"`
	Type   string `json:"paper-kind,omitempty"`
	Bin    string `json:"delivery,omitempty"`
	// NoCheck leaves the check sheet out.
	NoCheck bool  `json:"no-check,omitempty"`
	At      int   `json:"at"`             // the screen, from 0
	Moves   int   `json:"moves"`          // counts what was done, so that an old page is known as such
	Lost    []int `json:"lost,omitempty"` // sheets to be printed once more, by their numbers in the book
	Part    *part `json:"part,omitempty"` // that is being printed now
}

// part is a remainder or a reprint that is printed from files of its own.
type part struct {
	Folder string   `json:"folder"` // in the job's
	Files  []string `json:"files"`
	At     int      `json:"at"`
	Then   int      `json:"then"` // the screen of the job that follows

	Sheets  string       `json:"sheets,omitempty"` // of a reprint
	After   int          `json:"after,omitempty"`  // of a remainder, as in [output.Stop]
	Run     int          `json:"run,omitempty"`
	Pass    printer.Pass `json:"pass,omitempty"`
	Without string       `json:"without,omitempty"`
	// Spent tells that nothing of the pass is left to be printed: its good sheets are taken out.
	Spent bool `json:"spent,omitempty"`
}

// readRecord reads how far a job is. A record of another plan, or a damaged one, tells nothing:
// the person then begins where the job begins, and sees what is printed already.
func readRecord(folder string) (record, error) {
	sum, err := plan.FileSHA256(filepath.Join(folder, plan.File))
	if err != nil {
		return record{}, err
	}
	fresh := record{Kind: recordKind, Format: recordFormat, Plan: sum}
	data, err := regular.Read(filepath.Join(folder, recordFile), plan.MostRecord)
	if errors.Is(err, fs.ErrNotExist) {
		return fresh, nil
	}
	if err != nil {
		return record{}, err
	}
	var r record
	if json.Unmarshal(data, &r) != nil || r.Kind != recordKind || r.Format != recordFormat {
		return record{}, refusal.Plan.New("%s is damaged: it does not tell how far the printing is", filepath.Join(folder, recordFile)).
			Advise("move it away; you then begin with the first step, and leave out what is printed already")
	}
	if r.Plan != sum {
		return fresh, nil
	}
	return r, nil
}

// write puts the record into the job's folder, complete or not at all.
func (r record) write(ctx context.Context, folder string) error {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetIndent("", "  ")
	if err := e.Encode(r); err != nil {
		return err
	}
	return publish.Write(context.WithoutCancel(ctx), filepath.Join(folder, recordFile), publish.Options{Replace: true, Ours: publish.Anything},
		func(_ context.Context, w io.Writer) error {
			_, err := w.Write(out.Bytes())
			return err
		})
}
