package cli

import (
	"context"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// kitOptions is what the command line says.
type kitOptions struct {
	bookOptions
	maker   string
	out     string
	zip     bool
	replace bool
	dryRun  bool
}

func newKit(s Surroundings) *cobra.Command {
	var o kitOptions
	cmd := newCommand("kit", func(cmd *cobra.Command, args []string) error {
		if err := o.takeBook(args); err != nil {
			return err
		}
		for _, r := range notInKits {
			if cmd.Flags().Changed(r.flag) {
				return refusal.Use.New("%s", r.why).Advise("%s", r.instead)
			}
		}
		return runKit(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addJobFlags(f, &o.job)
	addUnder(f, trying, func(f *pflag.FlagSet) {
		addWord(f, &o.maker, "maker", "TEXT", "a line of yours on the kit's pages: your name, and on what terms others may print the book")
		f.BoolVar(&o.zip, "zip", false, "write one zip file, NAME-kit.zip")
		f.BoolVar(&o.dryRun, "dry-run", false, "show the plan as a table and write nothing")
		addWord(f, &o.out, "out", "PATH", "folder to write, or zip file if its name ends in .zip (default: NAME-kit in the current folder)")
		f.BoolVar(&o.replace, "replace", false, "replace an existing kit")
		addQuietFlag(f, &o.quiet)
		o.addReadingFlags(f)
	})
	f.Lookup("paper").Usage = "paper, or several with commas, such as a4,letter: whoever prints it chooses (default: the region's)"
	f.String("profiles", "", "")
	f.Bool("proof", false, "")
	noProfile := strings.NewReplacer("the profile's, else ", "", "what the profile's tray holds, else ", "", " (default: the profile's)", "")
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
	{"copies", "a kit is the files of one book: on a printer that nobody knows yet, sheets of two copies could be mixed",
		"leave out --copies and print the files once for each copy; on your own printer prepare --copies tells the copies apart"},
	{"insert", "a kit holds the sheets of the book and no plates", "give the PDF of the plates along with the kit"},
	{"end-leaves", "a kit holds the sheets of the book and no end-leaves", "say in --maker which paper is meant for them"},
	{"proof", "a kit serves every printer, so there is no one printer to prove it on", "prepare with --proof and the same options proves the same pages"},
}

// place is where the kit goes, and whether it is a zip file.
func (o kitOptions) place() (place string, zipped bool, err error) {
	switch {
	case o.out == "":
		return output.KitPlace(o.first(), o.zip), o.zip, nil
	case o.zip && !output.NamesZip(o.out):
		return "", false, refusal.Use.New("--out %s: with --zip it is the name of a zip file, and ends in .zip", o.out).Advise("write --out %s", filepath.Join(o.out, filepath.Base(output.KitPlace(o.first(), true))))
	}
	return o.out, output.NamesZip(o.out), nil
}

func runKit(ctx context.Context, s Surroundings, o kitOptions) error {
	place, zipped, err := o.place()
	if err != nil {
		return err
	}
	if !o.dryRun {
		if err := output.CheckKit(place, o.sources, zipped, o.replace); err != nil {
			return err
		}
	}
	o.job = output.KitOptions(o.job)
	papers := strings.Split(o.job.Paper, ",")
	for i, paper := range papers {
		papers[i] = strings.TrimSpace(paper)
		if slices.Contains(papers[:i], papers[i]) || papers[i] == "" && len(papers) > 1 {
			return refusal.Use.New("--paper %s: each paper is named once", o.job.Paper)
		}
	}
	var kept []string
	kit := output.Kit{Maker: strings.TrimSpace(o.maker), Kept: func(names []string) { kept = names }}
	return o.withEditions(ctx, s, papers, len(papers) > 1, &kit, func() error {
		if o.dryRun {
			for _, e := range kit.Editions {
				if err := printDraft(s.Out, e.Draft); err != nil {
					return err
				}
			}
			return nil
		}
		bar := o.bar(s)
		bar.Start("writing "+filepath.Base(place), kit.Sides())
		err := kit.Write(ctx, place, zipped, o.replace, bar)
		bar.End()
		if err != nil {
			return err
		}
		if !o.quiet {
			for _, e := range kit.Editions {
				tellWarnings(s, e.Draft)
				visible.Fprintf(s.Err, "%s on %s of %s (%s), for any printer\n", reorder.Count(e.PagesPrinted(), "page"),
					reorder.Count(len(e.Printed), "sheet"), e.Paper.Name, e.PaperBecause)
			}
			tellKept(s, kept)
			visible.Fprintf(s.Err, "next: whoever prints it opens %s\n", output.StartFile)
		}
		return s.printLine(place)
	})
}

// withEditions plans the kit for each paper and then uses it.
func (o kitOptions) withEditions(ctx context.Context, s Surroundings, papers []string, several bool, kit *output.Kit, use func() error) error {
	if len(papers) == 0 {
		return use()
	}
	o.job.Paper = papers[0]
	return o.withDraft(ctx, s, func(d *plan.Draft, _ *render.Renderer) error {
		edition, err := output.Job{Draft: d, Style: flagStyle{}}.Edition(several)
		if err != nil {
			return err
		}
		kit.Editions = append(kit.Editions, edition)
		return o.withEditions(ctx, s, papers[1:], several, kit, use)
	})
}
