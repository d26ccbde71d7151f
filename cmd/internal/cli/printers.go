package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

func newPrinters(s Surroundings) *cobra.Command {
	var dir string
	cmd := newCommand("printers", func(cmd *cobra.Command, _ []string) error { return cmd.Help() })
	addProfilesFlag(cmd.PersistentFlags(), &dir)
	store := func() profiles.Store { return profiles.Open(dir) }
	cmd.AddCommand(
		newPrintersList(s, store), newPrintersShow(s, store), newPrintersCheck(s, store),
		newPrintersCopy(s, store), newPrintersRemove(s, store), newPrintersDefault(s, store),
		newPrintersFind(s), newPrintersAsk(s, store),
	)
	return cmd
}

func newPrintersList(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("printers-list", func(*cobra.Command, []string) error {
		names, err := store().Names()
		if err != nil {
			return err
		}
		chosen, err := store().Default()
		if err != nil {
			return err
		}
		t := visible.NewTable(s.Out)
		for _, name := range names {
			t.AddRow(name, "%s", aboutProfile(store(), name, chosen))
		}
		return t.Flush()
	})
}

// aboutProfile is a profile in a few words.
func aboutProfile(store profiles.Store, name, chosen string) string {
	var words []string
	if slices.Contains(profiles.Builtin(), name) {
		words = append(words, "built-in")
	}
	switch p, err := store.Find(name); {
	case err != nil:
		words = append(words, "refused, see 'foldwright printers check'")
	case len(p.Assumed) > 0:
		words = append(words, p.TwoSided.String(), fmt.Sprintf("%s assumed", reorder.Count(len(p.Assumed), "fact")))
	default:
		words = append(words, p.TwoSided.String())
	}
	if name == chosen {
		words = append(words, "the default")
	}
	return strings.Join(words, ", ")
}

func newPrintersShow(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("printers-show", func(_ *cobra.Command, args []string) error {
		p, err := store().Find(args[0])
		if err != nil {
			return err
		}
		data, err := p.YAML()
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(s.Out, "%s\n# What this means:\n", data); err != nil {
			return err
		}
		for _, says := range learn.Sentences(p) {
			visible.Fprintf(s.Out, "#   %s\n", says)
		}
		_, err = io.WriteString(s.Out, "# Has anything changed: another tray, another delivery, another kind of paper,\n# another computer? Then print the test sheet again.\n")
		return err
	})
}

func newPrintersCheck(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("printers-check", func(_ *cobra.Command, args []string) error {
		names := args
		if len(names) == 0 {
			all, err := store().Names()
			if err != nil {
				return err
			}
			names = slices.DeleteFunc(all, func(n string) bool { return slices.Contains(profiles.Builtin(), n) })
		}
		return checkProfiles(s, store(), names)
	})
}

func checkProfiles(s Surroundings, store profiles.Store, names []string) error {
	refused := 0
	for _, name := range names {
		says, hint := "sound", phrase.Sentence{}
		p, err := store.Find(name)
		if err == nil && len(p.Assumed) > 0 {
			says += ", assumed: " + strings.Join(p.Assumed, ", ")
		}
		if err != nil {
			refused++
			says, hint = "refused: "+message(err, flagStyle{}), refusal.Hint(err)
		}
		if _, err := visible.Fprintf(s.Out, "%s: %s\n", name, says); err != nil {
			return err
		}
		if !hint.IsZero() {
			visible.Fprintf(s.Out, "  hint: %s\n", hint.In(flagStyle{}))
		}
	}
	if refused > 0 {
		return refusal.Plan.New("%d of %s refused", refused, reorder.Count(len(names), "profile")) // which and why has been said
	}
	return nil
}

func newPrintersCopy(s Surroundings, store func() profiles.Store) *cobra.Command {
	var replace bool
	cmd := newCommand("printers-copy", func(_ *cobra.Command, args []string) error {
		p, err := store().Find(args[0])
		if err != nil {
			return err
		}
		p.Name = args[1]
		path, err := store().Save(p, replace)
		if err != nil {
			return err
		}
		return s.printLine(path)
	})
	cmd.Flags().BoolVar(&replace, "replace", false, "replace an existing profile of this name")
	return cmd
}

func newPrintersRemove(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("printers-remove", func(_ *cobra.Command, args []string) error {
		cleared, err := store().Remove(args[0])
		if err != nil {
			return err
		}
		if cleared {
			visible.Fprintf(s.Err, "it was your default printer; now %s is the default, which is a guess\n", profiles.Guess)
		}
		return nil
	})
}

func newPrintersDefault(s Surroundings, store func() profiles.Store) *cobra.Command {
	return newCommand("printers-default", func(_ *cobra.Command, args []string) error {
		if len(args) == 1 {
			return store().SetDefault(args[0])
		}
		name, err := store().Default()
		if err != nil {
			return err
		}
		return s.printLine(name)
	})
}
