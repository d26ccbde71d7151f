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
		return s.write(structure.Text(args[0]))
	}
	t := visible.NewTable(s.Out)
	for _, name := range structure.Names() {
		rules, err := structure.Find(name)
		if err != nil {
			return err
		}
		t.AddRow(name, "%s", rules.Title)
	}
	return t.Flush()
}
