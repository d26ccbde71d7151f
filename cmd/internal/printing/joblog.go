package printing

import (
	"context"
	"fmt"
	"strings"

	"foldwright/cmd/internal/joblog"
	"foldwright/printer"
)

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
