package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// kitOptions is what the command line says.
type kitOptions struct {
	job      options.Options
	maker    string
	source   string
	out      string
	zip      bool
	replace  bool
	dryRun   bool
	quiet    bool
	password string // name of the file that holds it
	pageTime time.Duration
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
for, and which files are right then. start-here.pdf is the same on paper. Of a
book that is printed on one face there are two files.

Options are those of prepare, but for those that speak of one printer: --printer
and --profiles, and --proof, which tries the files on it.`,
		Example: `  foldwright kit BOOK.pdf
  foldwright kit BOOK.pdf --zip --paper letter --run 25
  foldwright kit BOOK.pdf --out gifts/BOOK.zip`,
		Args: one("BOOK.pdf"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.source = args[0]
			for _, r := range notInKits {
				if cmd.Flags().Changed(r.flag) {
					return refusal.Use.New("%s", r.why).Advise(r.instead)
				}
			}
			return run(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.BoolVar(&o.zip, "zip", false, "write one zip file, NAME-kit.zip")
	addJobFlags(f, &o.job)
	f.Lookup("paper").Usage = "paper, or several with commas, such as a4,letter: whoever prints it chooses (default the region's)"
	f.StringVar(&o.maker, "maker", "", "a line of yours on the kit's pages: your name, and on what terms others may print the book")
	addPasswordFlag(f, &o.password)
	addPageTimeoutFlag(f, &o.pageTime)
	f.StringVar(&o.out, "out", "", "folder to write, or zip file if its name ends in .zip (default NAME-kit in the current folder)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing kit of this program")
	f.BoolVar(&o.dryRun, "dry-run", false, "show the plan as a table and write nothing")
	f.BoolVar(&o.quiet, "quiet", false, "show neither progress nor summary nor warnings")
	f.String("profiles", "", "")
	f.Bool("proof", false, "")
	noProfile := strings.NewReplacer("the profile's, else ", "", "the profile's tray, else ", "", " (default the profile's)", "")
	f.VisitAll(func(f *pflag.Flag) { f.Usage = noProfile.Replace(f.Usage) })
	for _, r := range notInKits {
		f.Lookup(r.flag).Hidden = true
	}
	return cmd
}

// notInKits is the options of prepare that a kit refuses.
var notInKits = []struct{ flag, why, instead string }{
	{"printer", "a kit serves every printer, so it takes no --printer", "for a printer that is known, use prepare"},
	{"profiles", "a kit serves every printer, so it takes no --profiles", "what a profile says of paper, edge and tray are the flags --paper, --keep-clear and --run"},
	{"proof", "a kit serves every printer, so there is no one printer to prove it on", "prepare with --proof and the same options proves the same pages"},
}

// place is where the kit goes, and whether it is a zip file.
func (o kitOptions) place() (place string, zipped bool, err error) {
	switch {
	case o.out == "":
		return output.KitPlace(o.source, o.zip), o.zip, nil
	case o.zip && !output.NamesZip(o.out):
		return "", false, refusal.Use.New("--out %s: with --zip it is the name of a zip file, and ends in .zip", o.out).Advise(fmt.Sprintf("write --out %s", filepath.Join(o.out, filepath.Base(output.KitPlace(o.source, true)))))
	}
	return o.out, output.NamesZip(o.out), nil
}

func runKit(ctx context.Context, s Surroundings, o kitOptions) (err error) {
	place, zipped, err := o.place()
	if err != nil {
		return err
	}
	if !o.dryRun {
		if err := output.CheckKit(place, o.source, zipped, o.replace); err != nil {
			return err
		}
	}
	asked, err := output.KitOptions(o.job)
	if err != nil {
		return err
	}
	engine := render.Start(render.Options{PageTime: o.pageTime})
	set := options.Setting{Profiles: profiles.Store{}, Region: s.Region, Version: Version}
	var kept []string
	kit := output.Kit{Maker: strings.TrimSpace(o.maker), Kept: func(names []string) { kept = names }}
	defer func() {
		for _, e := range kit.Editions {
			err = errors.Join(err, e.Close())
		}
		err = errors.Join(err, engine.Close())
	}()
	papers := strings.Split(asked.Paper, ",")
	for i, paper := range papers {
		asked.Paper = strings.TrimSpace(paper)
		if slices.Contains(papers[:i], paper) || asked.Paper == "" && len(papers) > 1 {
			return refusal.Use.New("--paper %s: each paper is named once", o.job.Paper)
		}
		d, err := draft(ctx, s, o.source, o.password, asked, set, engine)
		if err != nil {
			return err
		}
		edition, err := output.Job{Draft: d}.Edition(len(papers) > 1)
		if err != nil {
			return errors.Join(err, d.Close())
		}
		kit.Editions = append(kit.Editions, edition)
	}
	if o.dryRun {
		for _, e := range kit.Editions {
			if err := printDraft(s.Out, e.Draft); err != nil {
				return err
			}
		}
		return nil
	}
	var bar progress.Reporter = progress.Silent
	if !o.quiet {
		bar = progress.Bar(s.Err)
	}
	bar.Start("writing "+filepath.Base(place), kit.Sides())
	err = kit.Write(ctx, place, zipped, o.replace, bar)
	bar.Done()
	if err != nil {
		return err
	}
	if !o.quiet {
		for _, e := range kit.Editions {
			for _, w := range e.Warnings() {
				visible.Fprintf(s.Err, "warning: %s\n", w)
			}
			for _, a := range e.Advice() {
				visible.Fprintf(s.Err, "advice: %s\n", a)
			}
			visible.Fprintf(s.Err, "%s on %s of %s (%s), for any printer\n", reorder.Count(e.PagesPrinted(), "page"),
				reorder.Count(len(e.Printed), "sheet"), e.Paper.Name, e.PaperBecause)
		}
		tellKept(s, kept)
		visible.Fprintf(s.Err, "next: whoever prints it opens %s\n", output.StartFile)
	}
	_, err = visible.Fprintln(s.Out, place)
	return err
}
