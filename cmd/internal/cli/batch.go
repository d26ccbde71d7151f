package cli

import (
	"cmp"
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// batchOptions is what the command line says.
type batchOptions struct {
	shelf    string // worklist or folder
	out      string
	settings []phrase.Setting
	profiles string
	log      string
	example  bool
	report   bool
	quiet    bool
	run      shelf.Options
}

func newBatch(s Surroundings) *cobra.Command {
	var o batchOptions
	var given options.Options
	var password string
	var proof bool
	cmd := newCommand("batch", func(cmd *cobra.Command, args []string) error {
		if err := o.takeShelf(args); err != nil {
			return refusal.Command.New("%w", err)
		}
		o.settings = settingsOf(cmd.Flags())
		return runBatch(cmd.Context(), s, o)
	})
	addUnder(cmd.Flags(), "The shelf", func(f *pflag.FlagSet) {
		addWord(f, &o.out, "out", "DIR", "where the folders and the report go (default: the worklist's, else the current folder)")
		f.BoolVar(&o.example, "example", false, "print a worklist to begin with")
		addWords(f, &o.run.Only, "only", "NAME", "make only the title of this name; can be given several times")
		f.BoolVar(&o.run.Again, "again", false, "try the titles again that failed, even if nothing has changed")
		f.BoolVar(&o.run.Verify, "verify", false, "read the files of complete titles, not only their sizes")
		f.BoolVar(&o.run.Force, "force", false, "make every title again")
		addText(f, &o.run.Memory, "memory", "SIZE", "memory for all titles together, such as 2GiB (default: half of this computer's)")
		o.run.Timeout = usualTitleTime
		addText(f, (*patience)(&o.run.Timeout), "title-timeout", "TIME", "give up a title that takes longer: 90s, 10m, or none for no limit (default: 12h)")
		addPageTimeoutFlag(f, &o.run.PageTime)
		addText(f, &o.run.Share, "share", "K/N", "make only part K of N of the shelf: one part for each computer")
		f.BoolVar(&o.report, "report", false, "join the reports of the shares in --out")
		addWord(f, &o.log, "log", "FILE", "append what happens to a file, in JSON lines")
		addQuietFlag(f, &o.quiet)
		addProfilesFlag(f, &o.profiles)
		addPasswordFlag(f, &password)
		f.BoolVar(&proof, shelf.ProofKey, false, "prove each title, and make none that would not become the book or cannot be checked")
	})
	addJobFlags(cmd.Flags(), &given)
	return cmd
}

// takeShelf takes the worklist or folder where one is needed.
func (o *batchOptions) takeShelf(args []string) error {
	if o.example || o.report {
		if len(args) > 0 {
			return errors.New("--example and --report take no worklist")
		}
		return nil
	}
	if len(args) != 1 {
		return errors.New("give one WORKLIST.yaml or FOLDER")
	}
	o.shelf = args[0]
	return nil
}

// settingsOf are the options of a title that were given as flags.
func settingsOf(given *pflag.FlagSet) (out []phrase.Setting) {
	for _, key := range append(options.Keys(), shelf.PasswordKey, shelf.ProofKey) {
		if f := given.Lookup(key); f.Changed {
			out = append(out, phrase.Set(key, f.Value.String()))
		}
	}
	return out
}

func runBatch(ctx context.Context, s Surroundings, o batchOptions) error {
	switch {
	case o.example:
		_, err := io.WriteString(s.Out, shelf.Example)
		return err
	case o.report:
		return joinReports(s, o)
	}
	titles, err := openShelf(o)
	if err != nil {
		return err
	}
	teller, err := newShelfTeller(s, o)
	if err != nil {
		return err
	}
	program, err := os.Executable()
	if err != nil {
		return errors.Join(err, teller.close())
	}
	o.run.Setting = options.Setting{Profiles: profiles.Open(o.profiles), Region: s.Region, Version: Version}
	o.run.Program = []string{program, titleCommand}
	o.run.Describe = describe
	o.run.Tell = teller.hear
	report, err := shelf.Run(ctx, titles, o.run)
	err = errors.Join(err, teller.close())
	return concludeBatch(s, o, titles.Out, report, err)
}

// openShelf reads the worklist or looks through the folder.
func openShelf(o batchOptions) (shelf.Shelf, error) {
	info, err := os.Stat(o.shelf)
	switch {
	case err != nil:
		return shelf.Shelf{}, refuseShelf(err)
	case info.IsDir():
		return shelf.FindTitles(o.shelf, cmp.Or(o.out, "."), o.settings)
	case strings.EqualFold(filepath.Ext(o.shelf), ".pdf"):
		return shelf.Shelf{}, refusal.Command.New("%s is a single title: foldwright prepare makes it", o.shelf)
	}
	titles, err := shelf.ReadWorklist(o.shelf, o.out, o.settings)
	if refusal.Of(err) == refusal.Source {
		err = refuseShelf(err)
	}
	return titles, err
}

// joinReports makes one report of those that shares have written.
func joinReports(s Surroundings, o batchOptions) error {
	out := cmp.Or(o.out, ".")
	report, err := shelf.Join(out)
	if err != nil {
		return err
	}
	if err := report.Write(out); err != nil {
		return err
	}
	return concludeBatch(s, o, out, report, nil)
}

// concludeBatch says what became of the shelf; titles that failed make it an error.
func concludeBatch(s Surroundings, o batchOptions, out string, r shelf.Report, err error) error {
	if err != nil && !errors.Is(err, context.Canceled) {
		return err
	}
	r = r.OnlyChosen()
	if !o.quiet {
		titles := r.Shelf
		if r.Share.N > 0 {
			titles += ", share " + r.Share.String()
		}
		visible.Fprintf(s.Err, "%s: %s, in %s\n", titles, strings.Join(r.Figures(), ", "), shelf.TookText(r.Seconds))
		for _, p := range r.Papers {
			visible.Fprintf(s.Err, "%s for %s of %s\n", reorder.Count(p.Sheets, "sheet"), p.Printer, p.Paper)
		}
	}
	if err := s.printLine(filepath.Join(out, shelf.ReportName(r.Share)+".html")); err != nil {
		return err
	}
	switch {
	case err != nil:
		complete := r.Count(shelf.Done) + r.Count(shelf.Complete)
		return refusal.Interrupted.New("interrupted, %d of %s complete", complete, reorder.Count(len(r.Titles), "title")).
			Advise("start the shelf again: it goes on where it was interrupted")
	case !r.IsWhole():
		return refusePartly(r)
	}
	return nil
}

// refusePartly says that titles of a shelf failed or shares of it are missing.
func refusePartly(r shelf.Report) error {
	var parts []string
	if n := len(r.Failures()); n > 0 {
		parts = append(parts, reorder.Count(n, "title")+" failed")
	}
	if n := r.Count(shelf.Waiting); n > 0 {
		parts = append(parts, reorder.Count(n, "title")+" not reached")
	}
	if n := len(r.Missing); n > 0 {
		parts = append(parts, reorder.Count(n, "share")+" without a report")
	}
	return refusal.Partly.New("%s", strings.Join(parts, ", ")).Advise("the report names each and says what to do")
}

// refuseShelf says that there is neither a worklist nor a folder where one was looked for.
func refuseShelf(err error) error {
	refused := refusal.Source.New("%w", err)
	var path *fs.PathError
	switch {
	case !errors.As(err, &path):
	case errors.Is(path.Err, fs.ErrNotExist), errors.Is(path.Err, fs.ErrPermission):
		refused = refusal.Source.New("%s: %w", path.Path, path.Err)
	default:
		refused = refusal.Source.New("%s %w", path.Path, path.Err)
	}
	return refused.Advise("name a worklist or a folder; foldwright batch --example prints a worklist to begin with")
}
