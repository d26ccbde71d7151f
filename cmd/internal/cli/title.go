package cli

import (
	"context"
	"errors"
	"io"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// titleCommand is the argument of the process that a shelf starts for one title.
const titleCommand = "title-of-shelf"

// serveTitle is the other end of batch: it reads one order and makes the
// title. It is no command of the command line, which takes half a millisecond
// to set up, and there is one process for each title.
func serveTitle(ctx context.Context, s Surroundings) Status {
	err := shelf.Serve(ctx, s.In, s.Out, func(ctx context.Context, o shelf.Order, t *shelf.Teller) error {
		return makeTitle(ctx, s, o, t)
	}, describe)
	if err != nil {
		visible.Fprintf(s.Err, "foldwright: %s\n", message(err, flagStyle{}))
		return statusOf(err)
	}
	return Done
}

func makeTitle(ctx context.Context, s Surroundings, o shelf.Order, t *shelf.Teller) (err error) {
	asked, err := titleReader{}.Read(o.Settings)
	if err != nil {
		return err
	}
	if o.Proof && asked.Dummy {
		return refusal.Use.New("--proof compares pages, and --dummy prints none")
	}
	password, err := passwordIn(o.Password, regular.Open) // which every title reads anew
	if err != nil {
		return err
	}
	engine := render.Start(render.Options{PageTime: o.PageTime, Workers: o.Drawers()})
	set := options.Setting{Profiles: profiles.Open(o.Profiles), Region: o.Region, Version: Version, Proof: o.Proof}
	resolved, err := asked.Resolve(set)
	if err != nil {
		return err
	}
	source, err := openTitle(ctx, o, password, engine)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, source.Close(), engine.Close()) }()
	draft, err := plan.New(ctx, resolved, source)
	if err != nil {
		return err
	}
	title := output.Job{Draft: draft, Style: flagStyle{}, Kept: t.Kept}
	if o.Proof {
		title.Prove = func(ctx context.Context, dir string) error { return proveTitle(ctx, s, o, dir, source, engine) }
	}
	t.Start(title.Sides(), draft.PagesPrinted())
	_, err = title.Write(ctx, o.Place, true, t)
	return err
}

// openTitle opens the files of a title, one after the other.
func openTitle(ctx context.Context, o shelf.Order, password string, engine *render.Renderer) (*survey.Source, error) {
	var opened []*survey.Source
	files := append([]string{o.Source}, o.Further...)
	if o.Source == "" {
		files = nil // a blank book
	}
	for _, file := range files {
		source, err := survey.Open(ctx, file, password, engine)
		if err != nil {
			for _, before := range opened {
				err = errors.Join(err, before.Close())
			}
			return nil, err
		}
		opened = append(opened, source)
	}
	return survey.Together(engine, opened...), nil
}

// proveTitle checks a folder that is about to be published. A shelf keeps no
// book of the proof.
func proveTitle(ctx context.Context, s Surroundings, o shelf.Order, dir string, source *survey.Source, engine *render.Renderer) (err error) {
	p, err := proof.Open(ctx, dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, p.Close()) }()
	p.Folder = o.Place
	s.Out = io.Discard // where the shelf listens
	found, err := check(ctx, s, p, proof.Options{Renderer: engine, Source: source}, true)
	if err != nil {
		return err
	}
	return p.Fault(found)
}

// describe puts an error into the words that a report keeps.
func describe(err error) shelf.Failure {
	status := statusOf(err)
	return shelf.Failure{
		Status:   int(status),
		Sentence: message(err, reportStyle{}),
		Hint:     hintOf(err, nil),
		Passing:  status == Output || status == Interrupted || tooManyFiles(err) || errors.Is(err, pdf.ErrChanged),
	}
}
