package cli

import (
	"embed"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/reorder/refusal"
)

// helpTexts are what the commands say of themselves, a file each: how the command is used,
// what it does in a line, what it does at length, a paragraph on each line, and examples, indented.
//
//go:embed help
var helpTexts embed.FS

// newCommand is a command with its help text, which names its arguments too.
func newCommand(name string, run func(cmd *cobra.Command, args []string) error) *cobra.Command {
	text, _ := helpTexts.ReadFile("help/" + name + ".txt") // a test looks at each
	head, rest, _ := strings.Cut(string(text), "\n\n")
	use, short, _ := strings.Cut(head, "\n")
	examples := max(0, strings.Index("\n"+rest, "\n  "))
	return &cobra.Command{
		Use: use, Short: short, Long: strings.TrimSpace(rest[:examples]), Example: strings.TrimRight(rest[examples:], "\n"),
		Args: argumentsOf(use), RunE: run, SuggestionsMinimumDistance: 2,
	}
}

// argumentsOf checks the arguments of a command by its use: NAME has to be there, [NAME] can be.
// What is written with | or ... the command looks at itself.
func argumentsOf(use string) cobra.PositionalArgs {
	if strings.Contains(use, "|") || strings.Contains(use, "...") {
		return nil
	}
	names := strings.Fields(use)[1:]
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case cmd.HasSubCommands() && len(args) > 0:
			return refuseCommand(cmd, args[0])
		case len(args) < len(names) && !strings.HasPrefix(names[len(args)], "["):
			return refusal.Command.New("%s is missing", strings.Join(names[len(args):], " and "))
		case len(args) > len(names):
			return refusal.Command.New("%q is one argument too many", args[len(names)])
		}
		return nil
	}
}

// refuseCommand says that there is no command of this name, and which may be meant.
func refuseCommand(cmd *cobra.Command, name string) error {
	refused := refusal.Command.New("%q is not a command of %s", name, cmd.CommandPath())
	if near := cmd.SuggestionsFor(name); len(near) > 0 {
		return refused.Advise("did you mean %s?", strings.Join(near, " or "))
	}
	return refused
}
