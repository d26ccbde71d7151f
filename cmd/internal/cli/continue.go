package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// continueOptions is what the command line says.
type continueOptions struct {
	partOptions
	after   int
	pass    printer.Pass
	without options.Pages
}

func newContinue(s Surroundings) *cobra.Command {
	var o continueOptions
	cmd := newCommand("continue", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		switch {
		case cmd.Flags().Changed("after-sheet") && o.after == 0:
			return refusal.Use.New("--after-sheet 0 cannot be: sheets are counted from 1").Advise("if no good sheet came out, print the whole file again")
		case o.after == 0:
			return refusal.Command.New("--after-sheet is missing: the last good sheet that came out")
		}
		return runContinue(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	text(f, fromZero{&o.after}, "after-sheet", "NUMBER", "the last good sheet that came out, by its number in the book")
	text(f, &o.pass, "pass", "PASS", "the pass that stopped: front, back or both (default: the only one)")
	text(f, &o.without, "without", "SHEETS", "with --pass back: sheets that were lost, by their numbers in the book: 13,14")
	addPartFlags(f, &o.partOptions)
	return cmd
}

func runContinue(ctx context.Context, s Surroundings, o continueOptions) error {
	return withJob(ctx, s, o.partOptions, func(d output.Job) error {
		r, err := d.Remainder(o.after, o.pass, o.without)
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
