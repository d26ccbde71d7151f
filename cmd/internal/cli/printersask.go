package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/visible"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// searchTime is how long printers of the network are waited for: those that are awake
// answer within a second.
const searchTime = 3 * time.Second

func newPrintersFind(s Surroundings) *cobra.Command {
	return newCommand("printers-find", func(cmd *cobra.Command, _ []string) error {
		found := ipp.Find(cmd.Context(), ipp.Spooler, searchTime)
		if err := cmd.Context().Err(); err != nil {
			return err
		}
		if len(found) == 0 {
			visible.Fprintf(s.Err, "no printer and no queue was found\n")
			return nil
		}
		t := visible.NewTable(s.Out)
		for _, f := range found {
			about := f.Model
			if f.Leads != "" {
				about = strings.TrimPrefix(about+", a queue to "+f.Leads, ", ")
			}
			visible.Fprintf(t, "%s\t%s\t%s\n", f.Name, f.Address, about)
		}
		return t.Flush()
	})
}

func newPrintersAsk(s Surroundings, store func() profiles.Store) *cobra.Command {
	var save string
	cmd := newCommand("printers-ask", func(cmd *cobra.Command, args []string) error {
		d, err := askPrinter(cmd.Context(), args[0])
		if err != nil {
			return err
		}
		t := visible.NewTable(s.Out)
		for _, f := range d.Facts() {
			t.AddRow(f.About, "%s", f.Says)
		}
		if err := t.Flush(); err != nil || save == "" {
			return err
		}
		return saveSaid(s, store(), save, d)
	})
	addWord(cmd.Flags(), &save, "save", "PROFILE", "write the paper that lies ready, and the edges that cannot be reached, into this profile of yours")
	return cmd
}

// saveSaid writes into a profile what a printer says of paper. How it turns and stacks
// paper stays as it was learned.
func saveSaid(s Surroundings, store profiles.Store, name string, d ipp.Description) error {
	if len(d.Ready) == 0 || d.Spooler != "" {
		return refusal.Plan.New("the printer doesn't say what paper lies in it, so nothing was saved")
	}
	p, err := store.Find(name)
	if err != nil {
		return err
	}
	m := d.Ready[0]
	paper, err := reorder.ParsePaper(fmt.Sprintf("%gx%gmm", m.Size.W, m.Size.H))
	if err != nil {
		return err
	}
	p.Paper, p.KeepClear = paper.Name, &printer.KeepClear{Head: m.Margins.Head, Tail: m.Margins.Tail, Left: m.Margins.Left, Right: m.Margins.Right}
	path, err := store.Save(p, true)
	if err != nil {
		return err
	}
	visible.Fprintf(s.Err, "%s has the paper %s now, and %s out of reach: head, tail, left and right\n", path, paper.Name, m.Margins)
	return nil
}

// askPrinter asks the printer itself also where a queue only leads to it.
func askPrinter(ctx context.Context, to string) (ipp.Description, error) {
	p, err := ipp.FindOne(ctx, to, ipp.Spooler, searchTime)
	if err != nil {
		return ipp.Description{}, err
	}
	_, d, err := p.AskDirectly(ctx)
	return d, err
}
