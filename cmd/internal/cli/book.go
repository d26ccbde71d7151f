package cli

import (
	"context"
	"errors"
	"time"

	"github.com/spf13/pflag"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
	"foldwright/reorder/refusal"
)

// sourceOptions is what the command line says of the PDFs that are read.
type sourceOptions struct {
	sources  []string // in reading order
	password string   // name of the file that holds it
	pageTime time.Duration
	quiet    bool
}

func (o *sourceOptions) addReadingFlags(f *pflag.FlagSet) {
	addPasswordFlag(f, &o.password)
	addPageTimeoutFlag(f, &o.pageTime)
}

// bar shows a person how far the work has come.
func (o sourceOptions) bar(s Surroundings) progress.Reporter { return barUnless(o.quiet, s) }

// barUnless is a bar unless nothing is to be shown.
func barUnless(quiet bool, s Surroundings) progress.Reporter {
	if quiet {
		return progress.Silent
	}
	return progress.Bar(s.Err)
}

// withSource opens the source, asking for the passwords of its files as [withPassword] does, lets it be
// used, and closes it.
func (o sourceOptions) withSource(ctx context.Context, s Surroundings, use func(*survey.Source, *render.Renderer) error) (err error) {
	engine, end := s.startRenderer(o.pageTime)
	defer func() { err = errors.Join(err, end()) }()
	source, err := o.openSource(ctx, s, engine)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	return use(source, engine)
}

// openSource opens the files one after the other, as one source.
func (o sourceOptions) openSource(ctx context.Context, s Surroundings, engine *render.Renderer) (_ *survey.Source, err error) {
	password, err := readPassword(ctx, o.password)
	if err != nil {
		return nil, err
	}
	return survey.OpenBook(engine, o.sources, func(path string) (*survey.Source, error) {
		return withPassword(ctx, s, path, password, func(password string) (*survey.Source, error) {
			return survey.Open(ctx, path, password, engine)
		})
	})
}

// takeBook takes the files of a book from the command line.
func (o *bookOptions) takeBook(args []string) error {
	switch {
	case len(args) == 0 && o.job.Blank == 0:
		return refusal.Command.New("BOOK.pdf is missing")
	case len(args) > 0 && o.job.Blank > 0:
		return refusal.Command.New("--blank makes a book without a PDF, and %s is one", args[0])
	}
	o.sources = args
	return nil
}

// first is the file after which what is written is called.
func (o sourceOptions) first() string {
	if len(o.sources) == 0 {
		return "blank-book.pdf"
	}
	return o.sources[0]
}

// bookOptions is what the command line says of a book that is planned.
type bookOptions struct {
	sourceOptions
	job      options.Options
	profiles string
	proof    bool
}

// withDraft plans the book.
func (o bookOptions) withDraft(ctx context.Context, s Surroundings, use func(*plan.Draft, *render.Renderer) error) error {
	resolved, err := o.job.Resolve(options.Setting{Profiles: profiles.Open(o.profiles), Region: s.Region, Version: Version, Proof: o.proof})
	if err != nil {
		return err
	}
	return o.withSource(ctx, s, func(source *survey.Source, engine *render.Renderer) error {
		d, err := plan.New(ctx, resolved, source)
		if err != nil {
			return err
		}
		return use(d, engine)
	})
}
