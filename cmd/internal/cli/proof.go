package cli

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/publish"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// proofOptions is what the command line says.
type proofOptions struct {
	sourceOptions
	folder  string
	dpi     dpi
	out     string
	replace bool
}

func newProof(s Surroundings) *cobra.Command {
	var o proofOptions
	cmd := newCommand("proof", func(cmd *cobra.Command, args []string) error {
		o.folder = args[0]
		return runProof(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addSourceFlag(f, &o.sources)
	o.addReadingFlags(f)
	o.dpi = 60
	addText(f, &o.dpi, "dpi", "NUMBER", "resolution at which pages are compared, in pixels per inch (default: 60)")
	addWord(f, &o.out, "out", "FILE", "file to write (default: NAME-proof.pdf beside the folder)")
	f.BoolVar(&o.replace, "replace", false, "replace an existing proof")
	addQuietFlag(f, &o.quiet)
	return cmd
}

func runProof(ctx context.Context, s Surroundings, o proofOptions) (err error) {
	out := cmp.Or(o.out, proof.BookFile(o.folder))
	place := proofPlace(o.replace, append([]string{o.folder}, o.sources...)...)
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
	named, err := p.FindSources(o.sources)
	if err != nil {
		return err
	}
	o.sources = named
	source, err := o.openSource(ctx, s, engine)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	found, err := check(ctx, s, p, proof.Options{Renderer: engine, Source: source, DPI: float64(o.dpi)}, o.quiet)
	if err != nil {
		return err
	}
	place.Reads = append(place.Reads, o.sources...)
	if err := publish.Write(ctx, out, place, p.WriteBook); err != nil {
		return err
	}
	if err := s.printLine(out); err != nil {
		return err
	}
	return p.Fault(found)
}

// check compares a print with its source and says what it has found.
func check(ctx context.Context, s Surroundings, p *proof.Print, o proof.Options, quiet bool) (found proof.Result, err error) {
	o.Progress = barUnless(quiet, s)
	if found, err = p.Check(ctx, o); err != nil {
		return found, err
	}
	for _, f := range found.Faults {
		if err := s.printLine(f); err != nil {
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
func stageProof(ctx context.Context, s Surroundings, o prepareOptions, dir, place string, source *survey.Source, engine *render.Renderer) (_ *publish.Staged, err error) {
	p, err := proof.Open(ctx, dir)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	p.Folder = place
	found, err := check(ctx, s, p, proof.Options{Renderer: engine, Source: source}, o.quiet)
	if err != nil {
		return nil, err
	}
	if err := p.Fault(found); err != nil {
		return nil, err
	}
	return publish.Stage(ctx, proof.BookFile(place), proofPlace(o.replace, o.sources...), p.WriteBook)
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
	return publish.Check(proof.BookFile(place), proofPlace(o.replace, o.sources...))
}
