package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// mendOptions is what the command line says of a job that is to be mended.
type mendOptions struct {
	folder   string
	source   string
	out      string
	replace  bool
	quiet    bool
	password string // name of the file that holds it
	pageTime time.Duration
}

func addMendFlags(f *pflag.FlagSet, o *mendOptions) {
	addSourceFlag(f, &o.source)
	addPasswordFlag(f, &o.password)
	addPageTimeoutFlag(f, &o.pageTime)
	f.StringVar(&o.out, "out", "", "folder to write (default one within FOLDER, named after the sheets)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing folder that this command has written")
	f.BoolVar(&o.quiet, "quiet", false, "do not say what was made")
}

func addSourceFlag(f *pflag.FlagSet, file *string) {
	f.StringVar(file, "source", "", "the PDF that the folder was prepared from (default where it was then, else beside the folder, else in the current one)")
}

// mended plans the folder's job once more, lets mend write, and closes.
func mended(ctx context.Context, s Surroundings, o mendOptions, mend func(output.Job) error) (err error) {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	if o.source == "" {
		if o.source, err = plan.FindSource(o.folder, made.Source); err != nil {
			return err
		}
	}
	engine := render.Start(render.Options{PageTime: o.pageTime})
	source, err := openSource(ctx, s, o.source, o.password, engine)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, source.Close(), engine.Close()) }()
	draft, err := plan.Redraft(ctx, o.folder, made, source, Version)
	if err != nil {
		return err
	}
	kept := func(names []string) {
		if !o.quiet {
			tellKept(s, names)
		}
	}
	return mend(output.Job{Draft: draft, Folder: output.FolderName(o.folder), Kept: kept})
}

// mending is sheets of a job that are printed again, or what is left of a run.
type mending interface {
	Folder() string
	Write(ctx context.Context, place string, replace bool) error
}

// write writes the folder of a mending and says what was made.
func (o mendOptions) write(ctx context.Context, s Surroundings, m mending, says ...string) error {
	place := o.out
	if place == "" {
		place = filepath.Join(o.folder, m.Folder())
	}
	if err := output.CheckMending(place, o.replace); err != nil {
		return err
	}
	if err := m.Write(ctx, place, o.replace); err != nil {
		return err
	}
	if !o.quiet {
		for _, line := range append(says, fmt.Sprintf("next: open %s and follow it", filepath.Join(place, output.RunSheetFile))) {
			visible.Fprintln(s.Err, line)
		}
	}
	_, err := visible.Fprintln(s.Out, place)
	return err
}

// reprintOptions is what the command line says.
type reprintOptions struct {
	mendOptions
	choice output.Choice
	side   string
}

func newReprint(s Surroundings) *cobra.Command {
	return reprintCommand(s, func(ctx context.Context, o reprintOptions) error { return runReprint(ctx, s, o) })
}

func reprintCommand(s Surroundings, run func(context.Context, reprintOptions) error) *cobra.Command {
	var o reprintOptions
	cmd := &cobra.Command{
		Use:   "reprint FOLDER",
		Short: "print files for single sheets of a job that were spoiled",
		Long: `Reprint writes print files for just the chosen sheets of a job, each side as it
was, and a run sheet that says what to do with them. Sheets are named by their
numbers in the book, which stand along the folds, by a page of the source, or by
a gathering. They are made from the source again, which has to be unchanged.

Where a front came out well and only its back is missing, --side back prints
the back onto it; the run sheet says which way to lay it in.`,
		Example: `  foldwright reprint BOOK-print --sheet 7,9-11
  foldwright reprint BOOK-print --page 37
  foldwright reprint BOOK-print --gathering 3
  foldwright reprint BOOK-print --sheet 7 --side back`,
		Args: one("FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.folder = args[0]
			if len(o.choice.Sheets)+len(o.choice.Pages)+len(o.choice.Gatherings) == 0 {
				return refusal.Command.New("say which sheets: --sheet, --page or --gathering")
			}
			if o.side != "both" && o.side != "back" {
				return refusal.Command.New("--side is both or back, not %q", o.side)
			}
			return run(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	text(f, &o.choice.Sheets, "sheet", "SHEETS", "sheets by their numbers in the book, as the side names say: 7,9-11")
	text(f, &o.choice.Pages, "page", "PAGES", "the sheets that hold these pages of the source: 37")
	text(f, &o.choice.Gatherings, "gathering", "NUMBERS", "all sheets of these gatherings: 3")
	f.StringVar(&o.side, "side", "both", "both, or back: only the backs, onto good fronts")
	addMendFlags(f, &o.mendOptions)
	return cmd
}

func runReprint(ctx context.Context, s Surroundings, o reprintOptions) error {
	return mended(ctx, s, o.mendOptions, func(d output.Job) error {
		r, err := d.Reprint(o.choice, o.side == "back")
		if err != nil {
			return err
		}
		return o.write(ctx, s, r, fmt.Sprintf("%s once more: %s", reorder.Count(r.Sheets(), "sheet"), r.Numbers()))
	})
}
