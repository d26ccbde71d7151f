package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/reorder/phrase"
)

// measureOptions is what the command line says.
type measureOptions struct {
	measure.Asked
	folder  string
	out     string
	replace bool
}

// bareLengths is the flags that were given a length without a unit, each with what was given.
func bareLengths(f *pflag.FlagSet) (bare []phrase.Setting) {
	f.Visit(func(g *pflag.Flag) {
		given := g.Value.String()
		if strings.HasSuffix(g.Value.Type(), "LENGTH") || g.Value.Type() == "SIZE" {
			if strings.TrimRight(given, "0123456789.") != given {
				bare = append(bare, phrase.Set(g.Name, given))
			}
		}
	})
	return bare
}

func newMeasure(s Surroundings) *cobra.Command {
	var o measureOptions
	cmd := newCommand("measure", func(cmd *cobra.Command, args []string) error {
		o.folder, o.Bare = args[0], bareLengths(cmd.Flags())
		return runMeasure(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addWord(f, &o.Structure, "structure", "STRUCTURE", strings.Join(structure.Names(), ", ")+", or a YAML file (default: the plan's)")
	addText(f, measure.Stack{Measured: &o.Measured}, "stack", "N=LENGTH", "the measured thickness of a stack of N leaves of this paper, lightly pressed: 40=4.1mm")
	addText(f, (*measure.Length)(&o.Measured.Block), "block-thickness", "LENGTH", "the measured thickness of the sewn and pressed block at its fore-edge")
	addText(f, &o.Leaf, "leaf-size", "SIZE", "the measured width and height of the trimmed leaf: 146x207mm, 5 3/4x8 1/4in")
	addText(f, (*measure.Length)(&o.Measured.Spine), "spine", "LENGTH", "the measured spine of the sewn and rounded block, over its curve")
	addText(f, (*measure.Length)(&o.Measured.Board), "board", "LENGTH", "the measured thickness of the board")
	addText(f, (*measure.Length)(&o.Measured.Thread), "thread", "LENGTH", "the measured thickness of the thread")
	addNumber(f, &o.Measured.Supports, "supports", "the number of cords, tapes or inner holes (default: the plan's)")
	f.BoolVar(&o.TwoOn, "two-on", false, "sew two gatherings on with one length of thread")
	addNumber(f, &o.Volume, "volume", "only this volume")
	addText(f, &o.Units, "units", "UNITS", "mm or in (default: the plan's)")
	addWord(f, &o.out, "out", "DIR", "folder to write, with "+benchsheet.SheetFile+" and "+benchsheet.GuideFile+" to print")
	f.BoolVar(&o.replace, "replace", false, "replace a folder that measure has written")
	return cmd
}

func runMeasure(ctx context.Context, s Surroundings, o measureOptions) error {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	sheets, err := o.Sheets(o.folder, made, flagStyle{})
	if err != nil {
		return err
	}
	noteUnlogged(s, measure.KeepMeasured(ctx, o.folder, o.Asked))
	if o.out != "" {
		files := measure.Files{
			Folder: o.folder, Made: made, Style: flagStyle{}, Replace: o.replace,
			Kept: func(names []string) { tellKept(s, names) },
		}
		if err := files.Write(ctx, o.out, sheets); err != nil {
			return err
		}
	}
	return measure.WriteTables(s.Out, sheets, flagStyle{})
}
