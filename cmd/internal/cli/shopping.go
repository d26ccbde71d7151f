package cli

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/shopping"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// shoppingOptions is what the command line says.
type shoppingOptions struct {
	shopping.Options
	folders []string
	board   options.Dimensions
	cloth   options.Length
	spare   options.Length
	out     string
	replace bool
}

func newShopping(s Surroundings) *cobra.Command {
	o := shoppingOptions{
		board: options.Dimensions{W: options.Length(shopping.Usual.Board.W), H: options.Length(shopping.Usual.Board.H)},
		cloth: options.Length(shopping.Usual.Cloth), spare: options.Length(shopping.Usual.Spare),
	}
	cmd := newCommand("shopping", func(cmd *cobra.Command, args []string) error {
		o.folders = args
		if len(args) == 0 {
			return refusal.Command.New("FOLDER is missing")
		}
		return runShopping(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addText(f, &o.board, "board-sheet", "SIZE", "a full sheet of board, its grain along the second length (default: 700x1000mm)")
	addText(f, moreThanZero(&o.cloth), "cloth-width", "LENGTH", "the width of the roll of cloth, across its grain (default: 1000mm)")
	addText(f, &o.spare, "spare", "LENGTH", "what is left between two pieces, for the cut and a clean edge (default: 2mm)")
	addText(f, &o.Units, "units", "UNITS", "mm or in (default: those of the first job)")
	addWord(f, &o.out, "out", "FILE", "also write a page with the list and the cutting plan, drawn: shopping.html")
	f.BoolVar(&o.replace, "replace", false, "replace an earlier page")
	return cmd
}

func runShopping(ctx context.Context, s Surroundings, o shoppingOptions) error {
	o.Board, o.Cloth, o.Spare, o.Style = geom.Size{W: float64(o.board.W), H: float64(o.board.H)}, float64(o.cloth), float64(o.spare), flagStyle{}
	if o.Spare < 0 || o.Spare > 100 {
		return refusal.Use.New("--spare must be between 0 and 100 mm")
	}
	place := publish.Options{Replace: o.replace, Ours: publish.Single(shopping.IsPage), Reads: o.folders}
	if o.out != "" {
		if err := publish.Check(o.out, place); err != nil {
			return err
		}
	}
	books, err := shopping.Gather(o.folders, o.Options)
	if err != nil {
		return err
	}
	list, err := shopping.Of(books, o.Options)
	if err != nil {
		return err
	}
	if err := list.WriteText(s.Out); err != nil {
		return err
	}
	if o.out == "" {
		if len(list.Plans()) > 0 {
			visible.Fprintf(s.Err, "next: the same with --out shopping.html draws how to cut board and cloth\n")
		}
		return nil
	}
	if err := publish.Write(ctx, o.out, place, func(_ context.Context, w io.Writer) error { return list.WritePage(w) }); err != nil {
		return err
	}
	return s.printLine(o.out)
}
