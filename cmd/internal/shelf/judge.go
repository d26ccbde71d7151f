package shelf

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"unicode/utf8"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
)

// verdict is what is known of a title before it is tried. Without an entry it
// has to be tried.
type verdict struct {
	entry *Entry
	bytes int64  // of the source
	again string // why a title that lies there is made again
}

// judge tells whether a title is complete, failed already, or has to be tried.
// No process is started.
func (r *run) judge(t Title) verdict {
	v := verdict{}
	for _, file := range t.Files() {
		if err := options.CheckName(file); err != nil {
			return r.refuse(t, v, err)
		}
		info, err := pdf.Stat(file)
		if err != nil {
			return r.refuse(t, v, err)
		}
		v.bytes += info.Size()
	}
	if err := publish.Recover(t.Place, plan.Files); err != nil {
		return v // another run is at work there, or the title cannot be written: it will be told when tried
	}
	request, err := r.request(t)
	if err != nil {
		return r.refuse(t, v, err)
	}
	last, planErr := plan.ReadBrief(t.Place)
	made := planErr == nil
	if made {
		v.again = r.explainOutdated(t, last, request)
		made = v.again == ""
	}
	if _, err := os.Stat(t.Place); planErr != nil && err == nil {
		return r.refuse(t, v, fmt.Errorf("%s %w", t.Place, publish.ErrForeign))
	}
	if r.o.Force {
		return v
	}
	record := r.records[cleanForJSON(t.Name)]
	failed := record != nil && !r.o.Again && r.stillFails(t, *record, request)
	if !made && !failed {
		return v
	}
	sum, err := digest(t.Files())
	switch {
	case err != nil:
		return r.refuse(t, v, err)
	case made && sum == last.Source.SHA256 && !sameInserts(t, last):
		v.again = "the PDF of its plates or end-leaves has changed"
	case made && sum == last.Source.SHA256:
		v.entry = new(r.entry(t, Complete, v.bytes))
		v.entry.take(last)
		if record != nil && record.isOf(last) {
			v.entry.Warnings = record.Warnings // in the words of that time
		}
	case made:
		v.again = "its source has changed"
	case failed && sum == record.Failure.SHA256:
		v.entry = new(*record)
		v.entry.Source, v.entry.Folder, v.entry.Bytes, v.entry.Tried = sourceText(t), r.folder(t), v.bytes, false
	}
	return v
}

// explainOutdated says why what lies in a title's place is not what would be written
// again, as far as can be told without the source's bytes; empty if it is.
func (r *run) explainOutdated(t Title, made plan.Brief, request string) string {
	if made.ProgramVersion != r.o.Setting.Version {
		return "it was made by version " + made.ProgramVersion
	}
	if made.Request != request || made.Source.File != survey.NameOf(t.Files()...) {
		return "its options or its printer have changed"
	}
	if err := made.CheckFiles(t.Place, r.o.Verify); err != nil {
		return err.Error()
	}
	return ""
}

// request is what a title asks for. Titles with the same settings share it up to their files, and that is nearly all of a shelf.
func (r *run) request(t Title) (string, error) {
	set := r.o.Setting
	set.Proof = t.Proof
	ask, _ := r.requests.LoadOrStore(fmt.Sprintf("%t %q", t.Proof, t.Settings), sync.OnceValues(func() (options.Request, error) {
		resolved, err := t.Options.Resolve(set)
		return resolved.Request, err
	}))
	request, err := ask.(func() (options.Request, error))()
	if err != nil {
		return "", err
	}
	return request.Of(t.Files()...), nil
}

// stillFails tells whether a failure of the record would be met again, as far as
// can be told without the source's bytes.
func (r *run) stillFails(t Title, record Entry, request string) bool {
	f := record.Failure
	return f != nil && !f.Passing && f.SHA256 != "" && f.Request == request &&
		t.Secret == "" && // nobody knows whether it failed with the same one
		f.Password.Equal(changeTime(t.Password)) &&
		(f.Memory == 0 || f.Memory >= r.limits.all) &&
		(f.Seconds == 0 || r.o.Timeout > 0 && f.Seconds >= r.o.Timeout.Seconds())
}

// refuse is a title that fails before it is tried.
func (r *run) refuse(t Title, v verdict, err error) verdict {
	f := r.o.Describe(err)
	f.Passing = true
	v.entry = new(r.entry(t, Failed, v.bytes))
	v.entry.Failure, v.entry.Tried = &f, true
	return v
}

func (r *run) entry(t Title, s State, bytes int64) Entry {
	return Entry{Name: cleanForJSON(t.Name), Source: cleanForJSON(sourceText(t)), Folder: cleanForJSON(r.folder(t)), State: s, Bytes: bytes}
}

// cleanForJSON gives a name as a report can hold it, for JSON knows letters of UTF-8 only.
func cleanForJSON(name string) string {
	if utf8.ValidString(name) {
		return name
	}
	return visible.Text(name)
}

func sourceText(t Title) string { return strings.Join(t.Files(), ", ") }

// digest is that of files, as [pdf.SumOf] makes it of theirs.
func digest(files []string) (string, error) {
	var sums []string
	for _, file := range files {
		sum, err := plan.FileSHA256(file)
		if err != nil {
			return "", &pdf.Error{File: file, Err: err}
		}
		sums = append(sums, sum)
	}
	return pdf.SumOf(sums), nil
}

// sameInserts tells whether the PDFs of leaves of other paper are those of which a folder was made.
func sameInserts(t Title, made plan.Brief) bool {
	var files []string
	for _, in := range t.Options.Inserts {
		files = append(files, in.Pages)
	}
	if t.Options.EndLeaves.Pages != "" {
		files = append(files, t.Options.EndLeaves.Pages)
	}
	for _, in := range made.Inserts {
		if !in.Printed || in.Source == nil {
			continue
		}
		if len(files) == 0 {
			return false
		}
		if sum, err := digest(files[:1]); err != nil || sum != in.Source.SHA256 {
			return false
		}
		files = files[1:]
	}
	return true
}

// folder is a title's place as the report names it.
func (r *run) folder(t Title) string {
	rel, err := filepath.Rel(makeAbsolute(r.shelf.Out), makeAbsolute(t.Place))
	if err != nil || !filepath.IsLocal(rel) {
		return filepath.ToSlash(makeAbsolute(t.Place))
	}
	return filepath.ToSlash(rel)
}

func (e *Entry) take(p plan.Brief) {
	e.Printer, e.Paper, e.Pages, e.Sheets, e.Warnings = p.Profile.Name, p.Paper.Name, p.Source.AllPages(), p.Sheets, p.Warnings
	e.Request = p.Request
}

// isOf tells whether an entry of the record is of the job that lies there.
func (e Entry) isOf(p plan.Brief) bool {
	return e.isMade() && e.Request != "" && e.Request == p.Request && e.Pages == p.Source.AllPages() && len(e.Warnings) == len(p.Warnings)
}
