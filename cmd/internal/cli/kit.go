package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/progress"
	"foldwright/profiles"
	"foldwright/reorder"
)

// kitOptions is what the command line says.
type kitOptions struct {
	job      job.Options
	source   string
	out      string
	zip      bool
	replace  bool
	quiet    bool
	password string // name of the file that holds it
}

func newKit(s Surroundings) *cobra.Command {
	return kitCommand(s, func(ctx context.Context, o kitOptions) error { return runKit(ctx, s, o) })
}

func kitCommand(s Surroundings, run func(context.Context, kitOptions) error) *cobra.Command {
	var o kitOptions
	cmd := &cobra.Command{
		Use:   "kit BOOK.pdf",
		Short: "write print files that others can print on printers you have never seen",
		Long: `Kit writes a folder, or a zip file, that makes the book on any printer: test
sheets, two front files, two back files and two files for printers that turn the
paper themselves, and start-here.html, which tells what to print, what to look
for, and which files are right then. start-here.pdf is the same on paper.

Options are those of prepare; a kit takes no --printer.`,
		Example: `  foldwright kit BOOK.pdf
  foldwright kit BOOK.pdf --zip --paper letter --run 25`,
		Args: one("BOOK.pdf"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.source = args[0]
			return run(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.BoolVar(&o.zip, "zip", false, "write one zip file, NAME-kit.zip")
	addJobFlags(f, &o.job)
	addPasswordFlag(f, &o.password)
	f.StringVar(&o.out, "out", "", "folder or zip file to write (default NAME-kit in the current folder)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing kit of this program")
	f.BoolVar(&o.quiet, "quiet", false, "show neither progress nor summary nor warnings")
	return cmd
}

func runKit(ctx context.Context, s Surroundings, o kitOptions) (err error) {
	place := o.out
	if place == "" {
		place = job.KitPlace(o.source, o.zip)
	}
	if err := job.CheckKit(place, o.replace); err != nil {
		return err
	}
	options, err := job.KitOptions(o.job)
	if err != nil {
		return err
	}
	engine := new(job.Engine)
	set := job.Setting{Profiles: profiles.Store{}, Region: s.Region, Version: Version, Engine: engine}
	draft, err := unlocked(ctx, s, o.source, o.password, options, set)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, draft.Close(), engine.Close()) }()
	kit, err := draft.Kit()
	if err != nil {
		return err
	}
	var bar progress.Reporter = progress.Silent
	if !o.quiet {
		bar = progress.Bar(s.Err)
	}
	bar.Start("writing "+filepath.Base(place), kit.Sides())
	err = kit.Write(ctx, place, o.zip, o.replace, bar)
	bar.Done()
	if err != nil {
		return err
	}
	if !o.quiet {
		for _, w := range draft.Warnings() {
			fmt.Fprintf(s.Err, "warning: %s\n", w)
		}
		fmt.Fprintf(s.Err, "%s on %s of %s (%s), for any printer\n", reorder.Count(draft.PagesPrinted(), "page"),
			reorder.Count(len(draft.Printed), "sheet"), draft.Paper.Name, draft.PaperBecause)
		fmt.Fprintf(s.Err, "next: whoever prints it opens %s\n", job.StartFile)
	}
	_, err = fmt.Fprintln(s.Out, place)
	return err
}
