package shelf

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// mostReport is more than any report takes that one computer can join.
const mostReport = 2_000_000_000

const (
	reportKind   = "foldwright batch report"
	reportFormat = 1
)

// State is what has become of a title.
type State string

const (
	Done     State = "done"     // made in this run
	Complete State = "complete" // was complete before
	Failed   State = "failed"   // in this run or, unless Tried, in an earlier one
	Waiting  State = "waiting"  // not reached, for the run was interrupted
)

// Report is what became of a shelf, or of a share of it.
type Report struct {
	Kind           string    `json:"kind"`
	Format         int       `json:"format"`
	ProgramVersion string    `json:"program_version"`
	Shelf          string    `json:"shelf"`
	Share          Share     `json:"share,omitzero"`
	Began          time.Time `json:"began"`
	Seconds        float64   `json:"seconds"`
	Papers         []Paper   `json:"papers"`
	Titles         []Entry   `json:"titles"` // in the shelf's order
	// Missing are the shares that have not reported; only of a joined report.
	Missing []Share `json:"missing,omitempty"`
}

// Paper is the sheets that one printer takes of one paper, for all titles
// that are done or complete.
type Paper struct {
	Printer string `json:"printer"`
	Paper   string `json:"paper"` // PWG 5101.1
	Titles  int    `json:"titles"`
	Sheets  int    `json:"sheets"`
}

// Entry is one title of a report.
type Entry struct {
	Name     string   `json:"name"`
	Source   string   `json:"source"`
	Folder   string   `json:"folder"` // with slashes; relative to the report where it lies below it
	State    State    `json:"state"`
	Printer  string   `json:"printer,omitempty"`
	Paper    string   `json:"paper,omitempty"`
	Pages    int      `json:"pages,omitempty"` // of the source
	Sheets   int      `json:"sheets,omitempty"`
	Bytes    int64    `json:"bytes,omitempty"`   // of the source
	Seconds  float64  `json:"seconds,omitempty"` // that the title took, when it was tried
	Warnings []string `json:"warnings,omitempty"`
	Request  string   `json:"request_sha256,omitempty"` // of its plan
	Failure  *Failure `json:"failure,omitempty"`
	// Kept is what the folder that was replaced held besides the title's files.
	Kept []string `json:"kept,omitempty"`
	// Again is why a title that was there before is made again.
	Again string `json:"again,omitempty"`
	// Tried is false for a failure that is reported from the record.
	Tried bool `json:"tried,omitempty"`
	// aside is set for a title that was not among those the run was to make.
	aside bool
}

// OnlyChosen is the report without the titles that the run was not to make.
func (r Report) OnlyChosen() Report {
	r.Titles = filter(r.Titles, func(e Entry) bool { return !e.aside })
	r.sum()
	return r
}

// Count is how many titles have a state.
func (r Report) Count(s State) int { return len(r.in(s)) }

// Failures are the titles that failed.
func (r Report) Failures() []Entry { return r.in(Failed) }

func (r Report) in(s State) []Entry {
	return filter(r.Titles, func(e Entry) bool { return e.State == s })
}

// IsWhole tells whether every title is there and none failed.
func (r Report) IsWhole() bool {
	return r.Count(Done)+r.Count(Complete) == len(r.Titles) && len(r.Missing) == 0
}

func (r *Report) sum() {
	r.Papers = []Paper{}
	for _, e := range filter(r.Titles, Entry.isMade) {
		i := slices.IndexFunc(r.Papers, func(p Paper) bool { return p.Printer == e.Printer && p.Paper == e.Paper })
		if i < 0 {
			i, r.Papers = len(r.Papers), append(r.Papers, Paper{Printer: e.Printer, Paper: e.Paper})
		}
		r.Papers[i].Titles++
		r.Papers[i].Sheets += e.Sheets
	}
	slices.SortFunc(r.Papers, func(a, b Paper) int {
		return cmp.Or(cmp.Compare(a.Printer, b.Printer), cmp.Compare(a.Paper, b.Paper))
	})
}

// ReportName is the name of a share's report without its extension.
func ReportName(s Share) string {
	if s.N == 0 {
		return "batch-report"
	}
	return fmt.Sprintf("batch-report-%d-of-%d", s.K, s.N)
}

func refuseReport(file, format string, args ...any) error {
	return refusal.Source.New("%s %w", file, fmt.Errorf(format, args...))
}

func readReport(file string) (Report, error) {
	data, err := regular.Read(file, mostReport)
	if path := new(fs.PathError); errors.As(err, &path) {
		err = fmt.Errorf("cannot be read: %w", path.Err)
	}
	if err != nil {
		return Report{}, refuseReport(file, "%w", err)
	}
	var r Report
	switch err := json.Unmarshal(data, &r); {
	case err != nil:
		return Report{}, refuseReport(file, "is damaged: %w", err)
	case r.Kind != reportKind:
		return Report{}, refuseReport(file, "is not a report of this program")
	case r.Format != reportFormat:
		return Report{}, refuseReport(file, "has format %d, this program reads format %d", r.Format, reportFormat)
	}
	return r, nil
}

// Last is the report that a folder holds of a whole shelf. The error wraps [fs.ErrNotExist] if there is none.
func Last(folder string) (Report, error) { return readReport(recordIn(folder)) }

// Forget removes the report's record, and with it what is known of failures.
func Forget(folder string) error {
	if err := os.Remove(recordIn(folder)); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

func recordIn(folder string) string { return filepath.Join(folder, ReportName(Share{})+".json") }

// writeJSON writes the report's record, and makes the folder if need be.
func (r Report) writeJSON(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(r); err != nil {
		return err
	}
	return publish.WriteOver(filepath.Join(folder, ReportName(r.Share)+".json"), out.Bytes())
}

// Write writes both files of the report, each whole or not at all.
func (r Report) Write(folder string) error {
	var page bytes.Buffer
	if err := errors.Join(r.writeJSON(folder), r.writeHTML(&page)); err != nil {
		return err
	}
	return publish.WriteOver(filepath.Join(folder, ReportName(r.Share)+".html"), page.Bytes())
}

// Join makes one report of those that the shares of a shelf have written into
// a folder. Shares that have not reported are named in it.
func Join(folder string) (Report, error) {
	files, err := fs.Glob(os.DirFS(folder), "batch-report-*-of-*.json")
	if err != nil || len(files) == 0 {
		return Report{}, refuseReport(folder, "holds no reports of shares, such as batch-report-3-of-16.json")
	}
	var shares []Report
	for _, name := range files {
		file := filepath.Join(folder, name)
		r, err := readReport(file)
		if err != nil {
			return Report{}, err
		}
		shares = append(shares, r)
		if first := shares[0]; r.Share.N != first.Share.N || r.Shelf != first.Shelf {
			return Report{}, refuseReport(file, "is share %s of %s, but another report is share %s of %s: remove those that do not belong here",
				r.Share, r.Shelf, first.Share, first.Shelf)
		}
	}
	return join(shares), nil
}

func join(shares []Report) Report {
	slices.SortFunc(shares, func(a, b Report) int { return a.Share.K - b.Share.K })
	out := shares[0]
	out.Share, out.Titles = Share{}, nil
	end := out.Began
	for _, r := range shares {
		out.Titles = append(out.Titles, r.Titles...)
		if r.Began.Before(out.Began) {
			out.Began = r.Began
		}
		if e := r.Began.Add(duration(r.Seconds)); e.After(end) {
			end = e
		}
	}
	n := shares[0].Share.N
	for k := 1; k <= n; k++ {
		if !slices.ContainsFunc(shares, func(r Report) bool { return r.Share.K == k }) {
			out.Missing = append(out.Missing, Share{k, n})
		}
	}
	slices.SortFunc(out.Titles, func(a, b Entry) int { return strings.Compare(a.Name, b.Name) })
	out.Seconds = seconds(end.Sub(out.Began))
	out.sum()
	return out
}
