package cli

import (
	"io/fs"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// everyCommand visits all commands.
func everyCommand(t *testing.T, visit func(*cobra.Command)) {
	t.Helper()
	var look func(*cobra.Command)
	look = func(c *cobra.Command) {
		visit(c)
		for _, below := range c.Commands() {
			look(below)
		}
	}
	look(newRoot(Surroundings{}))
}

// TestEveryCommandHasItsHelp, with an example that calls it, and no text is left over.
func TestEveryCommandHasItsHelp(t *testing.T) {
	texts := map[string]bool{}
	if err := fs.WalkDir(helpTexts, "help", func(path string, d fs.DirEntry, err error) error {
		if !d.IsDir() {
			texts[strings.TrimSuffix(d.Name(), ".txt")] = true
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	everyCommand(t, func(c *cobra.Command) {
		delete(texts, strings.ReplaceAll(strings.TrimPrefix(c.CommandPath(), "foldwright "), " ", "-"))
		if c.Short == "" || !strings.HasPrefix(c.Example, "  "+c.CommandPath()) && !strings.Contains(c.Example, "\n  "+c.CommandPath()) {
			t.Errorf("%s: %q, for example %q", c.CommandPath(), c.Short, c.Example)
		}
	})
	for name := range texts {
		t.Errorf("there is no command for help/%s.txt", name)
	}
}
