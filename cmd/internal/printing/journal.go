package printing

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// JournalFile is the name of the journal in a job's folder.
const JournalFile = "print-journal.json"

const (
	journalKind   = "foldwright print journal"
	journalFormat = 1
)

// Journal is what was sent of a job, and what a person said came out.
type Journal struct {
	Kind    string  `json:"kind"`
	Format  int     `json:"format"`
	Plan    string  `json:"plan-sha256"`     // of the plan whose files were sent
	Since   string  `json:"begun,omitempty"` // when: it names the journal in the job's log
	Checked bool    `json:"checked"`         // a person found the check sheet right
	Sent    []Entry `json:"sent"`

	folder string
}

// Entry is one thing that was sent.
type Entry struct {
	Run     int          `json:"run"`
	Pass    printer.Pass `json:"pass"`
	Portion int          `json:"portion"`
	Sheets  []int        `json:"sheets"` // by their numbers in the book, in the order in which they come out
	Again   bool         `json:"again,omitempty"`
	// Answered tells that the person has said what came out: the first Good of the
	// sheets. Until then nobody knows.
	Answered bool  `json:"answered"`
	Good     int   `json:"good"`
	Lost     []int `json:"lost,omitempty"` // sheets that are to be printed again from their fronts
}

// openJournal reads the journal of a job, or begins one. A journal of another plan tells
// nothing of this one.
func openJournal(folder, planSum string) (*Journal, error) {
	j, err := readJournal(folder)
	if err != nil || j != nil && j.Plan == planSum {
		return j, err
	}
	return &Journal{Kind: journalKind, Format: journalFormat, Plan: planSum, Since: time.Now().Format(time.RFC3339), folder: folder}, nil
}

// readJournal is the journal in a job's folder, of whatever plan; nil if there is none.
func readJournal(folder string) (*Journal, error) {
	path := filepath.Join(folder, JournalFile)
	data, err := regular.Read(path, plan.MostRecord)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var j Journal
	if err := json.Unmarshal(data, &j); err != nil || j.Kind != journalKind || j.Format != journalFormat {
		return nil, refusal.Plan.New("%s is damaged: nobody can tell from it what was printed", path).
			Advise("look what was printed, then move the file away; printing begins from the start")
	}
	j.folder = folder
	return &j, nil
}

// Read is what the journal of a job's folder tells of its plan, or an empty journal.
func Read(folder string) (*Journal, error) {
	sum, err := plan.FileSHA256(filepath.Join(folder, plan.File))
	if err != nil {
		return nil, err
	}
	return openJournal(folder, sum)
}

// IsDone tells whether all steps of a plan have come out.
func (j *Journal) IsDone(p plan.Plan) bool {
	for _, s := range Steps(p) {
		if len(j.left(s).Sheets) > 0 {
			return false
		}
	}
	return j.open() == nil
}

// OpenName names what was sent last if nobody has said yet what came out; else it is empty.
func (j *Journal) OpenName() string {
	if e := j.open(); e != nil {
		return e.name()
	}
	return ""
}

// name is what was sent, as people say it.
func (e Entry) name() string { return Step{Run: e.Run, Pass: e.Pass, Portion: e.Portion, Of: 1}.Name() }

// wasSent tells whether a step, or some of it, was sent before, other than to print sheets once more.
func (j *Journal) wasSent(s Step) bool {
	return slices.ContainsFunc(j.Sent, func(e Entry) bool { return !e.Again && e.Run == s.Run && e.Pass == s.Pass && e.Portion == s.Portion })
}

// HasBegun tells whether anything of the plan was sent.
func (j *Journal) HasBegun() bool { return j.Checked || len(j.Sent) > 0 }

// write puts the journal into the folder, complete or not at all, and onto the disk.
func (j *Journal) write(ctx context.Context) error {
	text, err := plan.Encode(j)
	if err != nil {
		return err
	}
	// What has happened is written down also when the person has had enough.
	return publish.Write(context.WithoutCancel(ctx), filepath.Join(j.folder, JournalFile), publish.Options{Replace: true, Ours: publish.Anything},
		func(_ context.Context, w io.Writer) error {
			_, err := w.Write(text)
			return err
		})
}

// begin writes down what is about to be sent, before it is.
func (j *Journal) begin(ctx context.Context, s Step, again bool) error {
	j.Sent = append(j.Sent, Entry{Run: s.Run, Pass: s.Pass, Portion: s.Portion, Sheets: s.Sheets, Again: again})
	return j.write(ctx)
}

// open is the entry of which nobody has said what came out, nil if there is none.
func (j *Journal) open() *Entry {
	if n := len(j.Sent); n > 0 && !j.Sent[n-1].Answered {
		return &j.Sent[n-1]
	}
	return nil
}

// answer writes down what a person says came out of the entry that was sent last.
func (j *Journal) answer(ctx context.Context, good int, lost []int) error {
	e := &j.Sent[len(j.Sent)-1]
	e.Answered, e.Good, e.Lost = true, good, lost
	if err := j.write(ctx); err != nil {
		return err
	}
	return j.tellLog(ctx)
}

// left is what is still to be sent of a step.
func (j *Journal) left(s Step) Step {
	var gone []int
	for _, e := range j.Sent {
		if e.Again || e.Run != s.Run {
			continue
		}
		if e.Pass == s.Pass && e.Portion == s.Portion {
			gone = append(gone, e.Sheets[:e.Good]...)
		}
		if e.Pass != printer.FrontPass || s.Pass == printer.FrontPass {
			gone = append(gone, e.Lost...)
		}
	}
	return s.without(gone)
}

// Lost is the sheets that are to be printed again, by their numbers in the book, in order:
// those that were lost in a pass that follows another, but for those printed again since.
func (j *Journal) Lost() []int {
	lost := map[int]bool{}
	for _, e := range j.Sent {
		for _, n := range e.Lost {
			lost[n] = true
		}
		if e.Again && e.Answered && e.Good == len(e.Sheets) && e.Pass != printer.FrontPass {
			for _, n := range e.Sheets {
				delete(lost, n)
			}
		}
	}
	return slices.Sorted(maps.Keys(lost))
}

// tellLog writes into the job's log what this journal knows and the log does not. A line follows from an
// entry, which it names: however often this is done, and wherever it was killed, each stands there once.
func (j *Journal) tellLog(ctx context.Context) error {
	return joblog.Update(ctx, j.folder, func(log joblog.Log) (more []joblog.Line) {
		told := map[string]bool{}
		for _, l := range log.Lines {
			told[l.Get("entry")] = true
		}
		add := func(number int, l joblog.Line) {
			if entry := fmt.Sprintf("%s/%d", j.Since, number); !told[entry] {
				more = append(more, l.With("entry", entry).With("plan", j.Plan[:min(12, len(j.Plan))]))
			}
		}
		if j.Checked {
			add(0, joblog.Line{What: joblog.Checked}.With("right", "yes"))
		}
		for i, e := range j.Sent {
			if e.Answered {
				add(i+1, e.logLine())
			}
		}
		return more
	})
}

// logLine is what a person said came out, as a line of the log.
func (e Entry) logLine() joblog.Line {
	l := joblog.Line{What: joblog.Printed}.With("run", e.Run).With("pass", e.Pass)
	if e.Portion > 1 {
		l = l.With("portion", e.Portion)
	}
	if e.Again {
		l = l.With("again", "yes").With("numbers", numbersText(e.Sheets))
	}
	l = l.With("sent", len(e.Sheets)).With("good", e.Good)
	if e.Pass == printer.BackPass {
		l = l.With("spoiled", numbersText(e.Lost))
	}
	return l
}

// numbersText is numbers of sheets with commas between.
func numbersText(sheets []int) string {
	return strings.Trim(strings.ReplaceAll(fmt.Sprint(sheets), " ", ","), "[]")
}
