package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
)

// testSheetOptions is what the command line says.
type testSheetOptions struct {
	paper   string
	out     string
	three   bool
	replace bool
	quiet   bool
	to      string

	profiles string
}

func newTestSheet(s Surroundings) *cobra.Command {
	var o testSheetOptions
	cmd := newCommand("testsheet", func(cmd *cobra.Command, _ []string) error { return runTestSheet(cmd.Context(), s, o) })
	f := cmd.Flags()
	addWord(f, &o.paper, "paper", "PAPER", "the paper in the tray, as for prepare (default: your region's)")
	f.BoolVar(&o.three, "three", false, "write three sheets, which also show the order and how exact the printer is")
	o.out = testsheet.Folder
	addWord(f, &o.out, "out", "DIR", "folder to write (default: "+testsheet.Folder+")")
	addWord(f, &o.to, "to", "PRINTER", "print it on this printer or queue, by its name or address; see 'foldwright printers find'")
	f.BoolVar(&o.replace, "replace", false, "replace a folder that holds a test sheet")
	addProfilesFlag(f, &o.profiles)
	f.BoolVar(&o.quiet, "quiet", false, "do not say what to do next")
	return cmd
}

func runTestSheet(ctx context.Context, s Surroundings, o testSheetOptions) error {
	paper, err := s.Region.Choose(profiles.Open(o.profiles), o.paper)
	if err != nil {
		return err
	}
	var kept []string
	err = testsheet.Write(ctx, o.out, testsheet.Options{
		Paper: paper.Paper, Three: o.three, Version: Version, Replace: o.replace, Kept: func(names []string) { kept = names },
	})
	if err != nil {
		return err
	}
	if !o.quiet && o.to == "" {
		tellKept(s, kept)
		visible.Fprintf(s.Err, "the paper is %s, %s (%s)\n\n", paper.Name, paper.Size, paper.Because)
		for line := range strings.Lines(testsheet.Steps(o.three)) {
			visible.Fprintf(s.Err, "%s\n", strings.TrimSuffix(line, "\n"))
		}
	}
	if o.to != "" {
		sheets := 1
		if o.three {
			sheets = 3
		}
		if _, err := (machineOptions{to: o.to, quiet: o.quiet}).printTestSheet(ctx, s, o.out, paper.Paper, sheets); err != nil {
			return err
		}
		visible.Fprintf(s.Err, "next: foldwright learn NAME\n")
	}
	return s.printLine(o.out)
}

// printTestSheet prints the test sheet in a folder without a dialog. What the person types after that comes from lines.
func (o machineOptions) printTestSheet(ctx context.Context, s Surroundings, folder string, paper reorder.Paper, sheets int) (lines <-chan string, err error) {
	session, done, err := o.openSession(ctx, s)
	if err != nil {
		return nil, err
	}
	defer done()
	session.Folder = folder
	return session.Person.(*person).lines, session.PrintTestSheet(ctx, paper, sheets)
}
