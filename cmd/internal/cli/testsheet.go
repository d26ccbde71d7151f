package cli

import (
	"context"
	"strings"

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
		for line := range strings.Lines(testsheet.Steps(o.three)) {
			visible.Fprintf(s.Err, "%s\n", strings.TrimSuffix(line, "\n"))
		}
	}
	_, err = visible.Fprintln(s.Out, o.out)
	return err
}
