package cli

import (
	"github.com/spf13/cobra"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/visible"
)

func newStructures(s Surroundings) *cobra.Command {
	return newCommand("structures", func(_ *cobra.Command, args []string) error { return runStructures(s, args) })
}

func runStructures(s Surroundings, args []string) error {
	if len(args) == 1 {
		text, err := structure.Text(args[0])
		if err == nil {
			_, err = s.Out.Write(text)
		}
		return err
	}
	t := visible.NewTable(s.Out)
	for _, name := range structure.Names() {
		rules, err := structure.Find(name)
		if err != nil {
			return err
		}
		visible.Fprintf(t, "%s\t%s\n", name, rules.Title)
	}
	return t.Flush()
}
