package cli

import (
	"math"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

func newPapers(s Surroundings) *cobra.Command {
	var dir string
	cmd := newCommand("papers", func(cmd *cobra.Command, _ []string) error { return cmd.Help() })
	addProfilesFlag(cmd.PersistentFlags(), &dir)
	store := func() profiles.Store { return profiles.Open(dir) }
	cmd.AddCommand(newPapersList(s, store), newPapersShow(s, store), newPapersAdd(s, store), newPapersRemove(store))
	return cmd
}

func newPapersList(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("papers-list", func(*cobra.Command, []string) error {
		names, err := store().Papers()
		if err != nil {
			return err
		}
		if len(names) == 0 {
			visible.Fprintln(s.Err, "you have kept no paper yet: foldwright papers add NAME --size a4")
		}
		t := visible.NewTable(s.Out)
		for _, name := range names {
			t.AddRow(name, "%s", aboutPaper(store(), name))
		}
		return t.Flush()
	})
}

// aboutPaper is a paper in a few words.
func aboutPaper(store profiles.Store, name string) string {
	p, err := store.FindPaper(name)
	if err != nil {
		return "refused, see 'foldwright papers show'"
	}
	words := []string{p.Size, "not measured", "grain unknown"}
	if p.Caliper > 0 {
		words[1] = geom.Millimetres(p.Caliper) + " mm"
	}
	if p.Grain != 0 {
		words[2] = "grain along the " + p.Grain.String() + " edge"
	}
	if p.Tray != "" {
		words = append(words, "tray "+p.Tray)
	}
	return strings.Join(words, ", ")
}

func newPapersShow(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("papers-show", func(_ *cobra.Command, args []string) error {
		p, err := store().FindPaper(args[0])
		if err != nil {
			return err
		}
		return s.write(p.YAML())
	})
}

func newPapersAdd(s Surroundings, store func() profiles.Store) *cobra.Command {
	var p profiles.Paper
	var caliper options.Length
	var stack binding.Measured
	var replace bool
	cmd := newCommand("papers-add", func(_ *cobra.Command, args []string) error {
		p.Name, p.Caliper = args[0], float64(caliper)
		switch {
		case p.Size == "":
			return refusal.Command.New("--size is missing: the size of its sheets, such as a4 or 320x450mm")
		case caliper > 0 && stack.Stack > 0:
			return refusal.Use.New("--caliper and --stack both say how thick a leaf is").Advise("give only one of them")
		case stack.Stack > 0:
			if stack.StackLeaves < 2 {
				return refusal.Use.New("--stack %s is too thin to measure", binding.LeavesText(stack.StackLeaves)).Advise("measure 40 leaves under light pressure")
			}
			p.Caliper = math.Round(stack.Stack/float64(stack.StackLeaves)*1e4) / 1e4
		}
		path, err := store().SavePaper(p, replace)
		if err != nil {
			return err
		}
		return s.printLine(path)
	})
	f := cmd.Flags()
	addWord(f, &p.Size, "size", "PAPER", "the size of its sheets: a4, letter, or a size such as 320x450mm; needed")
	addText(f, moreThanZero(&caliper), "caliper", "LENGTH", "the measured thickness of one leaf, such as 0.1mm")
	addText(f, measure.Stack{Measured: &stack}, "stack", "N=LENGTH", "the measured thickness of a stack of N leaves instead, lightly pressed: 40=4.1mm")
	addText(f, &p.Grain, "grain", "EDGE", "the edge of the sheet along which its grain runs: long or short")
	addWord(f, &p.Tray, "tray", "NAME", "the tray in which it lies, as 'foldwright printers ask' names it")
	addWord(f, &p.Note, "note", "TEXT", "what else is worth knowing: where you bought it")
	f.BoolVar(&replace, "replace", false, "replace an existing paper of this name")
	return cmd
}

func newPapersRemove(store func() profiles.Store) *cobra.Command {
	return newCommand("papers-remove", func(_ *cobra.Command, args []string) error { return store().RemovePaper(args[0]) })
}
