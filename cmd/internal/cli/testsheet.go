package cli

import (
	"context"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
)

// testSheetOptions is what the command line says.
type testSheetOptions struct {
	paper   string
	out     string
	three   bool
	replace bool
	quiet   bool
}

func newTestSheet(s Surroundings) *cobra.Command {
	var o testSheetOptions
	cmd := newCommand("testsheet", func(cmd *cobra.Command, _ []string) error { return runTestSheet(cmd.Context(), s, o) })
	f := cmd.Flags()
	word(f, &o.paper, "paper", "PAPER", "the paper in the tray, as for prepare (default: your region's)")
	f.BoolVar(&o.three, "three", false, "write three sheets, which also show the order and how exact the printer is")
	o.out = testsheet.Folder
	word(f, &o.out, "out", "DIR", "folder to write (default: "+testsheet.Folder+")")
	f.BoolVar(&o.replace, "replace", false, "replace a folder that holds a test sheet")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what to do next")
	return cmd
}

func runTestSheet(ctx context.Context, s Surroundings, o testSheetOptions) error {
	paper, because, err := s.Region.Choose(o.paper)
	if err != nil {
		return err
	}
	var kept []string
	err = testsheet.Write(ctx, o.out, testsheet.Options{
		Paper: paper, Three: o.three, Version: Version, Replace: o.replace, Kept: func(names []string) { kept = names },
	})
	if err != nil {
		return err
	}
	if !o.quiet {
		tellKept(s, kept)
		visible.Fprintf(s.Err, "the paper is %s, %s (%s)\n\n", paper.Name, paper.Size, because)
		tellTest(s, o)
	}
	_, err = visible.Fprintln(s.Out, o.out)
	return err
}

// tellTest says what to do with the files. The person reads it once, before
// the sheet itself can say anything.
func tellTest(s Surroundings, o testSheetOptions) {
	sheet, it, back := "a blank sheet", "it", "the sheet back the way you would put back a stack"
	if o.three {
		sheet, it, back = "each of three blank sheets", "them", "the three sheets back as one stack, the way you always would"
	}
	visible.Fprintf(s.Err, `If you put the paper back yourself for its second face:
  1  Pencil a cross into the middle of the upper face of %[1]s, and
     load %[2]s that way up. In an upright tray the face that looks at you counts
     as the upper one.
  2  Print %[4]s: one-sided, actual size (100 percent).
  3  Look before you lift anything: does the printed face lie up or down? Is the
     pencil cross on it?
  4  Put %[3]s.
     Note what you did: no turn at all, turned half round on the table, turned
     over like the page of a book, or like the leaf of a wall calendar.
  5  Print %[5]s in the same way.
`, sheet, it, back, testsheet.FrontFile, testsheet.BackFile)
	if o.three {
		visible.Fprintf(s.Err, `     Watch whether each sheet comes to lie on top of the one before it or
     beneath it, and note which one lies on top in the end.
`)
	}
	visible.Fprintf(s.Err, `  6  Push a pin through the cross at the letter K. The number beside the hole is
     the answer: K2, for example.

If the printer turns the paper itself:
  Do step 1. Print %s: two-sided, turned about the long edge,
  actual size (100 percent). Then look as in step 3, and do step 6.

With the sheet in your hand: foldwright learn NAME, with a name for your printer.
`, testsheet.BothFile)
}
