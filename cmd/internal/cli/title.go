package cli

import (
	"context"
	"errors"
	"io"

	"foldwright/cmd/internal/batch"
	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/profiles/regular"
)

// titleCommand is the argument of the process that a shelf starts for one title.
const titleCommand = "title-of-shelf"

// serveTitle is the other end of batch: it reads one order and makes the
// title. It is no command of the command line, which takes half a millisecond
// to set up, and there is one process for each title.
func serveTitle(ctx context.Context, s Surroundings) Status {
	err := batch.Serve(ctx, s.In, s.Out, func(ctx context.Context, o batch.Order, t *batch.Teller) error {
		return makeTitle(ctx, s, o, t)
	}, describe)
	if err != nil {
		visible.Fprintf(s.Err, "foldwright: %s\n", message(err))
		return statusOf(err)
	}
	return Done
}

func makeTitle(ctx context.Context, s Surroundings, o batch.Order, t *batch.Teller) (err error) {
	options, err := titleReader{}.Read(o.Settings)
	if err != nil {
		return err
	}
	if o.Proof && options.Dummy {
		return &job.UseError{What: "--proof compares pages, and --dummy prints none"}
	}
	password, err := passwordIn(o.Password, regular.Open) // which every title reads anew
	if err != nil {
		return err
	}
	engine := &job.Engine{PageTime: o.PageTime, Workers: o.Drawers()}
	set := job.Setting{Profiles: profiles.Open(o.Profiles), Region: o.Region, Version: Version, Proof: o.Proof}
	resolved, err := options.Resolve(set)
	if err != nil {
		return err
	}
	source, err := job.OpenSource(ctx, o.Source, password, engine)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, source.Close(), engine.Close()) }()
	draft, err := job.NewDraft(ctx, resolved, source)
	if err != nil {
		return err
	}
	title := job.Job{Draft: draft, Kept: t.Kept}
	if o.Proof {
		title.Inspect = func(ctx context.Context, dir string) error { return proveTitle(ctx, s, o, dir, password, engine) }
	}
	t.Start(title.Sides(), draft.PagesPrinted())
	_, err = title.Write(ctx, o.Place, true, t)
	return err
}

// proveTitle checks a folder that is about to be published. A shelf keeps no
// book of the proof.
func proveTitle(ctx context.Context, s Surroundings, o batch.Order, dir, password string, engine *job.Engine) (err error) {
	p, err := proof.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	p.Folder = o.Place
	s.Out = io.Discard // where the shelf listens
	found, err := check(ctx, s, p, engine, proof.Options{Source: o.Source, Password: password}, "", true)
	if err != nil {
		return err
	}
	return p.Fault(found)
}

// describe puts an error into the words that a report keeps.
func describe(err error) batch.Failure {
	status := statusOf(err)
	return batch.Failure{
		Status:   int(status),
		Sentence: message(err),
		Hint:     hintOf(err, nil),
		Passing:  status == Output || status == Interrupted || tooManyFiles(err) || errors.Is(err, pdf.ErrChanged),
	}
}
