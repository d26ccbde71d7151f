// Package cli is the command line: it reads flags, calls what does the work, and
// talks to the person.
//
// How it talks: data goes to standard output, everything else to standard
// error, in lower case and without a full stop. An error is one sentence that
// names the file and the page; a line "hint:" follows where there is
// something to do. One table, [Status], says with which status the program
// ends.
//
// [Main] is the program; [Run] is the same with its surroundings given, for
// tests. Every command has a file of its own with a constructor, an options
// struct and a run function; none registers itself and no flag is a global.
package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	"github.com/cli/browser"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Surroundings are what a command sees of the world.
type Surroundings struct {
	In       io.Reader
	Out, Err io.Writer // Run cleans what goes to Err, and to Out if that is a terminal; see package visible
	Region   options.Region
	Secret   Secret                 // nil: nobody can be asked
	Person   bool                   // In is a terminal, so somebody can be asked
	Browse   func(url string) error // shows a page in the person's browser
	Renderer *render.Renderer       // draws for all commands, whatever time a page may take; nil: each that draws starts its own
}

// Main runs the program with the process's arguments, until the context ends,
// and returns its exit status.
func Main(ctx context.Context) int {
	if os.Getenv("GOGC") == "" {
		// Most jobs are done before collections pay: at the usual 100 a book of 300 pages
		// takes nearly a third longer, and at 400 one of 2,400 pages a fifteenth.
		debug.SetGCPercent(600)
	}
	args := os.Args[1:]
	cobra.MousetrapHelpText = "" // a double click is not a mistake
	if len(args) == 0 && isClicked() {
		args = []string{"open"}
	}
	return int(Run(ctx, args, Surroundings{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Region: options.SystemRegion(),
		Secret: terminalSecret(os.Stdin, os.Stderr), Person: term.IsTerminal(int(os.Stdin.Fd())), Browse: browser.OpenURL,
	}))
}

// guard is the same with nothing reaching a person's terminal that does more than be read.
func (s Surroundings) guard() Surroundings {
	s.Err = visible.NewWriter(s.Err)
	if f, ok := s.Out.(interface{ Fd() uintptr }); ok && term.IsTerminal(int(f.Fd())) {
		s.Out = visible.NewWriter(s.Out)
	}
	return s
}

// printLine writes what a program may read: a path or a name, on a line of its own.
func (s Surroundings) printLine(text any) error {
	_, err := visible.Fprintln(s.Out, text)
	return err
}

// write writes what was encoded without an error.
func (s Surroundings) write(data []byte, err error) error {
	if err == nil {
		_, err = s.Out.Write(data)
	}
	return err
}

// startRenderer starts what draws, if nothing does yet; end ends what it has started.
func (s Surroundings) startRenderer(pageTime time.Duration) (_ *render.Renderer, end func() error) {
	if s.Renderer != nil {
		return s.Renderer, func() error { return nil }
	}
	r := render.Start(render.Options{PageTime: pageTime})
	return r, r.Close
}

// Run runs the program once.
func Run(ctx context.Context, args []string, s Surroundings) Status {
	if len(args) == 1 && args[0] == render.ProcessArgument {
		if render.Serve(s.In, s.Out) != nil {
			return Unexpected // the process that has started it says what became of its page
		}
		return Done
	}
	s = s.guard()
	if len(args) == 1 && args[0] == titleCommand {
		return serveTitle(ctx, s)
	}
	if len(args) == 1 && args[0] == pageTitleCommand {
		return servePageTitle(ctx, s)
	}
	root := newRoot(s)
	root.SetArgs(args)
	cmd, err := root, checkNames(args)
	if err == nil {
		cmd, err = root.ExecuteContextC(ctx)
	}
	if err == nil {
		return Done
	}
	status := statusOf(err)
	visible.Fprintf(s.Err, "foldwright: %s\n", message(err, flagStyle{}))
	if hint := hintOf(err, cmd); !hint.IsZero() {
		visible.Fprintf(s.Err, "hint: %s\n", hint.In(flagStyle{}))
	}
	return status
}

// checkNames refuses names that no plan, report or run sheet could hold, whatever the command.
func checkNames(args []string) error {
	for _, arg := range args {
		if err := options.CheckName(arg); err != nil {
			return err
		}
	}
	return nil
}

// groups are the commands as the README has them.
func groups(s Surroundings) []group {
	return []group{
		{"A page in the browser", []*cobra.Command{newOpen(s)}},
		{"Your own book", []*cobra.Command{newPrepare(s), newInspect(s)}},
		{"Proof before paper", []*cobra.Command{newProof(s), newPreview(s)}},
		{"For other people's printers", []*cobra.Command{newKit(s)}},
		{"Printing without a print dialog", []*cobra.Command{newPrint(s)}},
		{"A spoiled sheet", []*cobra.Command{newReprint(s), newContinue(s), newLog(s)}},
		{"Printers", []*cobra.Command{newTestSheet(s), newLearn(s), newPrinters(s), newPapers(s), newSimulate(s)}},
		{"At the bench", []*cobra.Command{newReckon(s), newMeasure(s), newCover(s), newShopping(s), newStructures(s)}},
		{"A shelf of titles", []*cobra.Command{newBatch(s)}},
		{"The program itself", []*cobra.Command{newHelp(), newCompletion(s), newMan(s), newVersion(s)}},
	}
}

type group struct {
	title    string
	commands []*cobra.Command
}

func newRoot(s Surroundings) *cobra.Command {
	root := newCommand("foldwright", func(cmd *cobra.Command, _ []string) error { return cmd.Help() })
	root.SilenceErrors, root.SilenceUsage = true, true
	root.SetIn(s.In)
	root.SetOut(s.Out)
	root.SetErr(s.Err)
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { _ = writeHelp(s.Out, helpOf(cmd), columnsOf(s.Out)) })
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return refusal.Command.New("%w", flagError(err)) })
	root.Version = Version
	root.Flags().Bool("version", false, "print the program's version")
	root.SetVersionTemplate(versionText())
	for _, g := range groups(s) {
		root.AddGroup(&cobra.Group{ID: g.title, Title: g.title})
		for _, c := range g.commands {
			c.GroupID = g.title
			root.AddCommand(c)
			if c.Name() == "help" {
				root.SetHelpCommand(c)
			}
		}
	}
	settle(root)
	return root
}

// settle gives a command, and those below it, what all have: flags in the order in which they were
// added, a flag for its help, and words to be completed.
func settle(cmd *cobra.Command) {
	cmd.Flags().SortFlags = false
	cmd.DisableFlagsInUseLine = true
	cmd.Flags().Bool("help", false, "show this help")
	complete(cmd)
	for _, c := range cmd.Commands() {
		settle(c)
	}
}

func newHelp() *cobra.Command {
	return newCommand("help", func(cmd *cobra.Command, args []string) error {
		of, rest, err := cmd.Root().Find(args)
		if err != nil || len(rest) > 0 {
			return refuseCommand(of, cmp.Or(rest...))
		}
		return of.Help()
	})
}

// flagError puts what is wrong with a flag's value shortly.
func flagError(err error) error {
	var invalid *pflag.InvalidValueError
	if errors.As(err, &invalid) && invalid.GetFlag() != nil {
		return fmt.Errorf("--%s: %w", invalid.GetFlag().Name, valueError(err))
	}
	return err
}

// valueError is what is wrong with a flag's value, without the flag's name.
func valueError(err error) error {
	var invalid *pflag.InvalidValueError
	if !errors.As(err, &invalid) {
		return err
	}
	if invalid.GetFlag().Value.Type() == "bool" {
		return fmt.Errorf("%q is neither true nor false", invalid.GetValue())
	}
	return errors.Unwrap(invalid) // our own values have words of their own
}

// message is the error as one sentence on one line.
func message(err error, style phrase.Style) string {
	switch {
	case errors.Is(err, context.Canceled):
		return "interrupted, nothing was left behind"
	case tooManyFiles(err):
		return "this computer does not let the program have as many files open at once as it needs"
	}
	return strings.TrimSpace(phrase.Of(err, style))
}
