package cli

import (
	"github.com/spf13/cobra"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/visible"
)

func newStructures(s Surroundings) *cobra.Command {
	return &cobra.Command{
		Use:   "structures [NAME]",
		Short: "list the ways of binding, or show the rules of one",
		Long: `Structures lists the ways of binding that prepare and measure know. With a name it
shows the rules of one, each with its source. If you do something another way, keep
the rules in a file, change it there, and give the file to prepare --structure.`,
		Example: `  foldwright structures
  foldwright structures case > mine.yaml
  foldwright prepare BOOK.pdf --structure mine.yaml`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error { return runStructures(s, args) },
	}
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
