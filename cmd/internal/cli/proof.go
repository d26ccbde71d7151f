package cli

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// proofOptions is what the command line says.
type proofOptions struct {
	folder   string
	source   string
	password string // name of the file that holds it
	dpi      float64
	out      string
	replace  bool
	quiet    bool
	pageTime time.Duration
}

func newProof(s Surroundings) *cobra.Command {
	return proofCommand(func(ctx context.Context, o proofOptions) error { return runProof(ctx, s, o) })
}

func proofCommand(run func(context.Context, proofOptions) error) *cobra.Command {
	var o proofOptions
	cmd := &cobra.Command{
		Use:   "proof FOLDER",
		Short: "print, fold and read a job on a printer made of code",
		Long: `Proof takes the print files of a job's folder as they lie there, prints them on
a printer made of code that does what the job's profile says, cuts, folds and
nests the sheets, and compares each page of the book that comes out with the
source. It names what is wrong, page by page, with sheet and side, and ends with
status 8 if anything is. If nothing is wrong but pages could not be checked, such as
pages that cannot be drawn in the time they may take, it names them and ends with
status 3.

It also writes NAME-proof.pdf beside the folder: the book as one will read it,
two pages side by side with the fold between them. The folder stays as it is.`,
		Example: `  foldwright proof BOOK-print
  foldwright proof BOOK-print --source shelf/BOOK.pdf
  foldwright prepare BOOK.pdf --proof`,
		Args: one("FOLDER"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.folder = args[0]
			if err := checkDPI(o.dpi); err != nil {
				return err
			}
			return run(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	addSourceFlag(f, &o.source)
	addPasswordFlag(f, &o.password)
	f.Float64Var(&o.dpi, "dpi", 60, "resolution at which pages are compared")
	addPageTimeoutFlag(f, &o.pageTime)
	f.StringVar(&o.out, "out", "", "file to write (default NAME-proof.pdf beside the folder)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing proof")
	f.BoolVar(&o.quiet, "quiet", false, "show neither progress nor summary")
	return cmd
}

func checkDPI(dpi float64) error {
	if !(dpi >= 20 && dpi <= 600) {
		return refusal.Command.New("--dpi lies between 20 and 600")
	}
	return nil
}

func runProof(ctx context.Context, s Surroundings, o proofOptions) (err error) {
	out := o.out
	if out == "" {
		out = proof.BookFile(o.folder)
	}
	place := proofPlace(o.replace, o.folder, o.source)
	if err := publish.Check(out, place); err != nil {
		return err
	}
	engine := render.Start(render.Options{PageTime: o.pageTime})
	defer func() { err = errors.Join(err, engine.Close()) }()
	p, err := proof.Open(ctx, o.folder)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	found, err := check(ctx, s, p, engine, proof.Options{Source: o.source, DPI: o.dpi}, o.password, o.quiet)
	if err != nil {
		return err
	}
	place.Reads = append(place.Reads, found.Source)
	if err := publish.Write(ctx, out, place, p.WriteBook); err != nil {
		return err
	}
	if _, err := visible.Fprintln(s.Out, out); err != nil {
		return err
	}
	return p.Fault(found)
}

// check compares a print with its source and says what it has found.
func check(ctx context.Context, s Surroundings, p *proof.Print, engine *render.Renderer, o proof.Options, passwordFile string, quiet bool) (found proof.Result, err error) {
	o.Renderer, o.Progress = engine, progress.Silent
	if !quiet {
		o.Progress = progress.Bar(s.Err)
	}
	found, err = withPassword(ctx, s, p.SourceName(), passwordFile, func(password string) (proof.Result, error) {
		if password != "" {
			o.Password = password
		}
		return p.Check(ctx, o)
	})
	if err != nil {
		return found, err
	}
	for _, f := range found.Faults {
		if _, err := visible.Fprintln(s.Out, f); err != nil {
			return found, err
		}
	}
	if quiet {
		return found, nil
	}
	if len(found.Faults) > 0 { // else the error says it
		for _, why := range slices.Concat(found.Why, found.Notes) {
			visible.Fprintf(s.Err, "warning: %s\n", why)
		}
	}
	for _, line := range p.Summary(found) {
		visible.Fprintln(s.Err, line)
	}
	if len(found.Faults) == 0 && len(found.Why) == 0 {
		visible.Fprintf(s.Err, "proof: %s compared with %s, nothing is wrong (largest difference of a page %.3f percent, of a spot %.1f)\n",
			reorder.Count(found.Pages, "page"), p.SourceName(), found.Mean, found.Worst)
	}
	return found, nil
}

// stageProof checks a folder that is about to be published, and writes its
// book beside that place; nothing is left of it if there are faults.
func stageProof(ctx context.Context, s Surroundings, o prepareOptions, dir, place string, password string, engine *render.Renderer) (_ *publish.Staged, err error) {
	p, err := proof.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	p.Folder = place
	found, err := check(ctx, s, p, engine, proof.Options{Source: o.source, Password: password}, o.password, o.quiet)
	if err != nil {
		return nil, err
	}
	if err := p.Fault(found); err != nil {
		return nil, err
	}
	return publish.Stage(ctx, proof.BookFile(place), proofPlace(o.replace, o.source), p.WriteBook)
}

// proofPlace is how the book of a proof is published.
func proofPlace(replace bool, reads ...string) publish.Options {
	return publish.Options{Replace: replace, Ours: publish.Single(proof.IsBook), Reads: reads}
}

// checkProof refuses, before any work, a proof that could not be made.
func checkProof(place string, o prepareOptions) error {
	switch {
	case o.dryRun:
		return refusal.Command.New("--proof needs the files, and --dry-run writes none")
	case o.job.Dummy:
		return refusal.Command.New("--proof compares pages, and --dummy prints none")
	}
	return publish.Check(proof.BookFile(place), proofPlace(o.replace, o.source))
}
