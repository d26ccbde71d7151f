package cli

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/printing"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// logOptions is what the command line says.
type logOptions struct {
	folder        string
	used, spoiled int
	note          string
	json          bool
}

func newLog(s Surroundings) *cobra.Command {
	var o logOptions
	cmd := newCommand("log", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		return runLog(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addNumber(f, &o.used, "used", "write down so many sheets that you have printed from the files, good and spoiled ones")
	addNumber(f, &o.spoiled, "spoiled", "write down so many of them that were spoiled")
	addWord(f, &o.note, "note", "TEXT", "write this down too")
	f.BoolVar(&o.json, "json", false, "write the log and its sums as JSON, for programs")
	return cmd
}

// noteUnlogged says that something could not be written into a job's log, which holds nothing else up.
func noteUnlogged(s Surroundings, err error) {
	if err != nil {
		visible.Fprintf(s.Err, "note: the job's log could not be written: %s\n", message(err, flagStyle{}))
	}
}

func runLog(ctx context.Context, s Surroundings, o logOptions) error {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	if o.spoiled > max(o.used, 0) {
		return refusal.Use.New("--spoiled %d is more than --used %d", o.spoiled, o.used).Advise("--used counts all sheets, the spoiled ones too")
	}
	if o.used > 0 || o.note != "" {
		line := joblog.Line{What: joblog.Noted}
		if o.used > 0 {
			line = line.With("used", o.used).With("spoiled", o.spoiled)
		}
		if err := joblog.Append(ctx, o.folder, line.With("note", o.note)); err != nil {
			return err
		}
	}
	log, err := joblog.Read(o.folder)
	if err != nil {
		return err
	}
	if o.json {
		return writeLog(s, made, log)
	}
	return tellLog(s, o.folder, made, log)
}

func tellLog(s Surroundings, folder string, made plan.Plan, log joblog.Log) error {
	if len(log.Lines) == 0 {
		visible.Fprintf(s.Out, "nothing has been written down yet\n\n")
	}
	now, err := joblog.PlanOf(folder)
	if err != nil {
		return err
	}
	earlier := false
	for _, l := range log.Lines {
		mark := " "
		if l.Get("plan") != now {
			mark, earlier = "*", true
		}
		visible.Fprintf(s.Out, "%s%s %s\n", l.Time.Format("2006-01-02 15:04"), mark, l.Text())
	}
	if earlier {
		visible.Fprintf(s.Out, "* of an earlier plan, before the book was prepared again\n")
	}
	t := visible.NewTable(s.Out)
	if len(log.Lines) > 0 {
		fmt.Fprintln(t)
		sum := log.Sum()
		least, most := sum.Used()
		t.AddRow("sheets used", "%s", span(least, most))
		t.AddRow("  good", "%d", sum.Good)
		t.AddRow("  spoiled", "%s", span(sum.Spoiled, sum.Spoiled+sum.Unsure))
		t.AddRow("  check sheets", "%d", sum.Checks)
		if sum.Files > 0 {
			t.AddRow("once more from files", "%d, if you have printed them", sum.Files)
		}
	}
	t.AddRow("sheets in the plan", "%d", made.Sheets)
	if err := t.Flush(); err != nil {
		return err
	}
	if log.Strange > 0 {
		visible.Fprintf(s.Err, "note: %s of %s cannot be read and not counted\n", reorder.Count(log.Strange, "line"), joblog.File)
	}
	if j, err := printing.Read(folder); err == nil && j.OpenName() != "" {
		visible.Fprintf(s.Err, "note: %s was sent, and nobody has said yet what came out; foldwright print asks\n", j.OpenName())
	}
	return nil
}

// writeLog writes the same for programs.
func writeLog(s Surroundings, made plan.Plan, log joblog.Log) error {
	type record struct {
		Kind    string              `json:"kind"`
		Format  int                 `json:"format"`
		Sheets  int                 `json:"sheets-in-plan"`
		Sum     joblog.Sum          `json:"sum"`
		Lines   []map[string]string `json:"lines"`
		Strange int                 `json:"unreadable-lines"`
	}
	out := record{"foldwright job log", 1, made.Sheets, log.Sum(), []map[string]string{}, log.Strange}
	for _, l := range log.Lines {
		facts := map[string]string{"time": l.Time.Format(time.RFC3339), "what": l.What}
		for _, f := range l.Fields {
			facts[f.Key] = f.Value
		}
		out.Lines = append(out.Lines, facts)
	}
	return s.write(plan.Encode(out))
}
