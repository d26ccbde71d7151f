package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
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
	return testSheetCommand(s, func(ctx context.Context, o testSheetOptions) error { return runTestSheet(ctx, s, o) })
}

func testSheetCommand(s Surroundings, run func(context.Context, testSheetOptions) error) *cobra.Command {
	var o testSheetOptions
	cmd := &cobra.Command{
		Use:   "testsheet",
		Short: "write a sheet that shows what a printer does with paper",
		Long: `Testsheet writes a folder with a sheet to print: test-front.pdf and test-back.pdf
for a printer on which you put the sheet back to print its second side, test-both.pdf
for one that turns the paper itself, and steps.txt, which says what to do. What the
printed sheet shows is what foldwright has to know about your printer.

One sheet tells how the paper is turned. Three sheets, with --three, also tell
in which order sheets come to lie, and how exactly the back meets the front.`,
		Example: `  foldwright testsheet
  foldwright testsheet --paper letter --three --out tray-2`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return run(cmd.Context(), o) },
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.StringVar(&o.paper, "paper", "", "paper that lies in the tray, as for prepare (default the region's)")
	f.BoolVar(&o.three, "three", false, "three sheets, which also show the order and how exact the printer is")
	f.StringVar(&o.out, "out", testsheet.Folder, "folder to write")
	f.BoolVar(&o.replace, "replace", false, "replace an existing folder that holds a test sheet of this program")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what to do next")
	return cmd
}

func runTestSheet(ctx context.Context, s Surroundings, o testSheetOptions) error {
	choice, because := o.paper, "as asked for"
	if choice == "" {
		choice, because = s.Region.Paper()
	}
	paper, err := reorder.ParsePaper(choice)
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
		for line := range strings.Lines(testsheet.Steps(o.three)) {
			visible.Fprintf(s.Err, "%s\n", strings.TrimSuffix(line, "\n"))
		}
	}
	_, err = visible.Fprintln(s.Out, o.out)
	return err
}
