package cli

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/proof"
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
	engine, end := s.startRenderer(o.pageTime)
	defer func() { err = errors.Join(err, end()) }()
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
	found, err := checkPrint(ctx, s, p, proof.Options{Renderer: engine, Source: source, DPI: float64(o.dpi)}, o.quiet)
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

// checkPrint compares a print with its source and says what it has found.
func checkPrint(ctx context.Context, s Surroundings, p *proof.Print, o proof.Options, quiet bool) (found proof.Result, err error) {
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

// proveFolder checks a folder that is about to be published in its place. If there are no faults, what it prints is used.
func proveFolder(ctx context.Context, s Surroundings, dir, place string, o proof.Options, quiet bool, use func(*proof.Print) error) (err error) {
	p, err := proof.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	p.Folder = place
	found, err := checkPrint(ctx, s, p, o, quiet)
	if err == nil {
		err = p.Fault(found)
	}
	if err == nil {
		err = use(p)
	}
	return err
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
