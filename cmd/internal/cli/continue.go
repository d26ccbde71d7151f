package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/output"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// continueOptions is what the command line says.
type continueOptions struct {
	partOptions
	output.Stop
}

func newContinue(s Surroundings) *cobra.Command {
	var o continueOptions
	cmd := newCommand("continue", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		if !cmd.Flags().Changed("after-sheet") {
			return refusal.Command.New("--after-sheet is missing: the last good sheet that came out, or 0 if none did")
		}
		return runContinue(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addText(f, atLeast(0, &o.After), "after-sheet", "NUMBER", "the last good sheet that came out, by its number in the book; 0 if none did")
	addNumber(f, &o.Run, "run", "with --after-sheet 0: the number of the run whose first sheet failed")
	addText(f, &o.Pass, "pass", "PASS", "the pass that stopped: front, back or both (default: the only one)")
	addText(f, &o.Without, "without", "SHEETS", "with --pass back: sheets that were lost, by their numbers in the book: 13,14")
	addPartFlags(f, &o.partOptions)
	return cmd
}

func runContinue(ctx context.Context, s Surroundings, o continueOptions) error {
	return withJob(ctx, s, o.partOptions, func(d output.Job) error {
		r, err := d.Remainder(o.Stop)
		if err != nil {
			return err
		}
		says := []string{fmt.Sprintf("%s left: pages %s of %s", reorder.Count(r.Sheets, "sheet"), r.Pages, r.From)}
		if r.Lost != "" {
			then := phrase.Command{Name: "reprint", Arguments: []string{o.folder}, Settings: []phrase.Setting{phrase.Set("sheet", r.Lost)}}
			says = append(says, "afterwards: "+then.In(flagStyle{}))
		}
		return o.write(ctx, s, &r.Part, says...)
	})
}
