package cli

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// shells are those for which there is completion, with what writes it.
var shells = map[string]func(*cobra.Command, Surroundings) error{
	"bash":       func(root *cobra.Command, s Surroundings) error { return root.GenBashCompletionV2(s.Out, true) },
	"fish":       func(root *cobra.Command, s Surroundings) error { return root.GenFishCompletion(s.Out, true) },
	"powershell": func(root *cobra.Command, s Surroundings) error { return root.GenPowerShellCompletionWithDesc(s.Out) },
	"zsh":        func(root *cobra.Command, s Surroundings) error { return root.GenZshCompletion(s.Out) },
}

func newCompletion(s Surroundings) *cobra.Command {
	return newCommand("completion", func(cmd *cobra.Command, args []string) error {
		write, ok := shells[args[0]]
		if !ok {
			return refusal.Command.New("%q is not a shell: use one of %s", args[0], strings.Join(slices.Sorted(maps.Keys(shells)), ", "))
		}
		return write(cmd.Root(), s)
	})
}

// completer proposes words for what is being typed.
type completer = cobra.CompletionFunc

func propose(words []string, directive cobra.ShellCompDirective) completer {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) { return words, directive }
}

// Files are proposed by their extension, or only folders.
var (
	proposePDF  = propose([]string{"pdf"}, cobra.ShellCompDirectiveFilterFileExt)
	proposeYAML = propose([]string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt)
	proposeDir  = propose(nil, cobra.ShellCompDirectiveFilterDirs)
	proposeFile = propose(nil, cobra.ShellCompDirectiveDefault)
)

// proposeProfiles proposes the names of printers, and files.
func proposeProfiles(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	names, err := storeOf(cmd).Names()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return names, cobra.ShellCompDirectiveDefault
}

// proposePapers proposes sizes, and the papers that the person keeps.
func proposePapers(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	own, _ := proposeOwnPapers(cmd, args, typed)
	return append(own, reorder.ShortPaperNames()...), cobra.ShellCompDirectiveNoFileComp
}

func proposeOwnPapers(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	names, err := storeOf(cmd).Papers()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// storeOf is the profiles that a command line speaks of.
func storeOf(cmd *cobra.Command) profiles.Store {
	dir := ""
	if f := cmd.Flag("profiles"); f != nil {
		dir = f.Value.String()
	}
	return profiles.Open(dir)
}

// byKind proposes what is of the kind that the help names for a flag or an argument.
var byKind = map[string]completer{
	"BOOK.pdf": proposePDF, "FOLDER": proposeDir, "DIR": proposeDir, "FILE": proposeFile, "PATH": proposeFile, "WORKLIST.yaml": proposeYAML,
	"PROFILE": proposeProfiles, "FROM": proposeProfiles, "[PROFILE]": proposeProfiles, "[PROFILE|FILE...]": proposeProfiles,
	"PAPER": proposePapers, "OWN-PAPER": proposeOwnPapers,
	"STRUCTURE": propose(structure.Names(), cobra.ShellCompDirectiveDefault), "[STRUCTURE]": propose(structure.Names(), cobra.ShellCompDirectiveDefault),
	"RUN": propose([]string{"book", "gathering"}, cobra.ShellCompDirectiveNoFileComp), "SCALE": propose([]string{"fit", "none"}, cobra.ShellCompDirectiveNoFileComp),
	"SIDE": propose([]string{"both", "back"}, cobra.ShellCompDirectiveNoFileComp), "SHELL": propose(slices.Sorted(maps.Keys(shells)), cobra.ShellCompDirectiveNoFileComp),
}

// complete lets a shell complete the arguments and the flags of a command.
func complete(cmd *cobra.Command) {
	names := strings.Fields(strings.NewReplacer(" | ", "|", "...", "").Replace(cmd.Use))[1:]
	several := strings.HasSuffix(cmd.Use, "...")
	if cmd.ValidArgsFunction == nil && len(names) > 0 {
		cmd.ValidArgsFunction = func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if i := min(len(args), len(names)-1); len(args) < len(names) || several {
				if c := byKind[strings.SplitN(names[i], "|", 2)[0]]; c != nil {
					return c(cmd, args, typed)
				}
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
	}
	cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
		c := byKind[f.Value.Type()]
		if v, ok := f.Value.(*textValue); ok && c == nil {
			c = propose(wordsOf(v.target), cobra.ShellCompDirectiveNoFileComp)
		}
		if c != nil {
			_ = cmd.RegisterFlagCompletionFunc(f.Name, c) // it is a flag of this command, and has none yet
		}
	})
}

// wordsOf is the words that a small integer with a word for each of its values can read.
func wordsOf(target any) (words []string) {
	v := reflect.ValueOf(target)
	if v.Kind() != reflect.Pointer || v.Elem().Kind() != reflect.Int {
		return nil
	}
	value := reflect.New(v.Elem().Type())
	text, ok := value.Interface().(fmt.Stringer)
	if !ok {
		return nil
	}
	none := text.String()
	for n := int64(1); ; n++ {
		value.Elem().SetInt(n)
		if text.String() == none {
			return words
		}
		words = append(words, text.String())
	}
}
