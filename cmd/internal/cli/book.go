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
)

// sourceOptions is what the command line says of a PDF that is read.
type sourceOptions struct {
	source   string
	password string // name of the file that holds it
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

// withSource opens the source, asking for its password as [withPassword] does, lets it be
// used, and closes it.
func (o sourceOptions) withSource(ctx context.Context, s Surroundings, use func(*survey.Source, *render.Renderer) error) (err error) {
	engine := render.Start(render.Options{PageTime: o.pageTime})
	defer func() { err = errors.Join(err, engine.Close()) }()
	source, err := withPassword(ctx, s, o.source, o.password, func(password string) (*survey.Source, error) {
		return survey.Open(ctx, o.source, password, engine)
	})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	return use(source, engine)
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
