package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// prepareOptions is what the command line says.
type prepareOptions struct {
	bookOptions
	out     string
	replace bool
	dryRun  bool
}

func newPrepare(s Surroundings) *cobra.Command {
	var o prepareOptions
	cmd := newCommand("prepare", func(cmd *cobra.Command, args []string) error {
		if err := o.takeBook(args); err != nil {
			return err
		}
		return runPrepare(cmd.Context(), s, o)
	})
	addJobFlags(cmd.Flags(), &o.job)
	addUnder(cmd.Flags(), trying, func(f *pflag.FlagSet) {
		f.BoolVar(&o.dryRun, "dry-run", false, "show the plan as a table and write nothing")
		f.BoolVar(&o.proof, "proof", false, "also prove the files, as foldwright proof does; write nothing if they would not make the book or cannot be checked")
		addWord(f, &o.out, "out", "DIR", "folder to write (default: NAME-print in the current folder)")
		f.BoolVar(&o.replace, "replace", false, "replace the files of an earlier job in that folder; anything else in it is kept")
		addQuietFlag(f, &o.quiet)
		addProfilesFlag(f, &o.profiles)
		o.addReadingFlags(f)
	})
	return cmd
}

func runPrepare(ctx context.Context, s Surroundings, o prepareOptions) error {
	place := cmp.Or(o.out, plan.OutputFolder(o.first()))
	if !o.dryRun {
		if err := output.CheckOutput(place, o.sources, o.replace); err != nil {
			return err
		}
	}
	if o.proof {
		if err := checkProof(place, o); err != nil {
			return err
		}
	}
	return o.withDraft(ctx, s, func(d *plan.Draft, engine *render.Renderer) error {
		if o.dryRun {
			return printDraft(s.Out, d)
		}
		return o.write(ctx, s, d, engine, place)
	})
}

// write writes the job's folder, and the book of its proof beside it, and says what was made.
func (o prepareOptions) write(ctx context.Context, s Surroundings, d *plan.Draft, engine *render.Renderer, place string) error {
	bar := o.bar(s)
	var book *publish.Staged
	var kept []string
	written := output.Job{Draft: d, Style: flagStyle{}, Kept: func(names []string) { kept = names }}
	if o.proof {
		written.Prove = func(ctx context.Context, dir string) error {
			bar.End()
			compared := proof.Options{Renderer: engine, Source: d.Given()}
			return proveFolder(ctx, s, dir, place, compared, o.quiet, func(p *proof.Print) (err error) {
				book, err = publish.Stage(ctx, proof.BookFile(place), proofPlace(o.replace, o.sources...), p.WriteBook)
				return err
			})
		}
	}
	bar.Start("writing "+filepath.Base(place), written.Sides())
	_, err := written.Write(ctx, place, o.replace, bar)
	bar.End()
	if book != nil {
		if err != nil {
			return errors.Join(err, book.Discard())
		}
		err = book.Publish()
	}
	if err != nil {
		return err
	}
	if !o.quiet {
		tellWarnings(s, d)
		tellKept(s, kept)
		copies := ""
		if n := d.Options.HowOften(); n > 1 {
			copies = fmt.Sprintf("%d copies of ", n)
		}
		visible.Fprintf(s.Err, "%s%s on %s of %s (%s), %s: %s\n",
			copies, reorder.Count(d.PagesPrinted(), "page"), reorder.Count(d.SheetsPrinted(), "sheet"),
			d.Paper.Name, d.PaperBecause, reorder.Count(len(d.Gatherings()), "gathering"), sizesText(d))
		for _, in := range d.Inserts {
			if job := in.Job(); job != nil {
				visible.Fprintf(s.Err, "%s: %s of %s, with a run sheet of its own in %s\n", in.Name, reorder.Count(job.SheetsPrinted(), "sheet"), job.Paper.Name, filepath.Join(place, in.Name))
			}
		}
		visible.Fprintf(s.Err, "next: open %s and follow it\n", filepath.Join(place, output.RunSheetFile))
	}
	return s.printLine(place)
}

// tellWarnings says what a person should know of the book. Writing it can have added to that.
func tellWarnings(s Surroundings, d *plan.Draft) {
	for _, line := range remarks(d) {
		visible.Fprintln(s.Err, line)
	}
}

// remarks is what there is to say of a draft: what is assumed, what goes wrong, what could be better.
func remarks(d *plan.Draft) (out []string) {
	if len(d.Covers) > 0 {
		out = append(out, fmt.Sprintf("note: %s of the PDF are taken out for the cover; draw it with foldwright cover", reorder.PagesText(d.Covers)))
	}
	for _, of := range []struct {
		kind string
		says []phrase.Sentence
	}{{"note", d.Assumed()}, {"warning", d.BookWarnings()}, {"advice", d.Advice()}} {
		for _, s := range of.says {
			out = append(out, of.kind+": "+s.In(flagStyle{}))
		}
	}
	return out
}

// tellKept says what a folder that was replaced held besides.
func tellKept(s Surroundings, names []string) {
	if len(names) > 0 {
		visible.Fprintln(s.Err, publish.KeptText(names))
	}
}

func sizesText(d *plan.Draft) string {
	var words []string
	for _, g := range d.Gatherings() {
		words = append(words, fmt.Sprint(d.SizeOf(g)))
	}
	return strings.Join(words, " ")
}
