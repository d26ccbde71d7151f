package shelf

import (
	"context"
	"errors"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Maker makes titles as orders ask for them, one at a time. It is how [Serve] is called where titles are books.
// Close it when done.
type Maker struct {
	Version string       // of the program
	Style   phrase.Style // of what run sheets say
	// Password is the password in the file that an order names.
	Password func(file string) (string, error)
	// Prove checks a folder that is about to be published; nil: no order asks for it.
	Prove func(ctx context.Context, o Order, dir string, source *survey.Source, engine *render.Renderer) error
	// Warnings are those of a plan in other words than those of plan.json; nil: there are none.
	Warnings func(*plan.Draft) []string

	engine *render.Renderer // of the title before
	draws  render.Options   // how it was started
}

// Close ends what draws pages.
func (m *Maker) Close() error {
	if m.engine == nil {
		return nil
	}
	return m.engine.Close()
}

// renderer is the one of the title before, if that may take as much.
func (m *Maker) renderer(o Order) (*render.Renderer, error) {
	draws := render.Options{PageTime: o.PageTime, Workers: o.Drawers()}
	if m.engine != nil && draws == m.draws {
		return m.engine, nil
	}
	err := m.Close()
	m.engine, m.draws = render.Start(draws), draws
	return m.engine, err
}

// Make makes the title of an order.
func (m *Maker) Make(ctx context.Context, o Order, t *Teller) (err error) {
	asked, err := readSettings(o.Settings)
	if err != nil {
		return err
	}
	if o.Proof && asked.Dummy {
		return refusal.Use.New("%s compares pages, and %s prints none", phrase.Set("proof"), phrase.Set("dummy"))
	}
	password := o.Secret
	if o.Password != "" {
		if password, err = m.Password(o.Password); err != nil {
			return err
		}
	}
	resolved, err := asked.Resolve(options.Setting{Profiles: profiles.Open(o.Profiles), Region: o.Region, Version: m.Version, Proof: o.Proof})
	if err != nil {
		return err
	}
	engine, err := m.renderer(o)
	if err != nil {
		return err
	}
	source, err := o.open(ctx, password, engine)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	draft, err := plan.New(ctx, resolved, source)
	if err != nil {
		return err
	}
	title := output.Job{Draft: draft, Style: m.Style, Kept: t.TellKept}
	if o.Proof {
		title.Prove = func(ctx context.Context, dir string) error { return m.Prove(ctx, o, dir, source, engine) }
	}
	t.Start(title.Sides(), draft.PagesPrinted())
	if _, err = title.Write(ctx, o.Place, true, t); err == nil && m.Warnings != nil {
		t.Warn(m.Warnings(draft))
	}
	return err
}

// open opens the files of the title, one after the other; a blank book has none.
func (o Order) open(ctx context.Context, password string, engine *render.Renderer) (*survey.Source, error) {
	return survey.OpenBook(engine, o.Files(), func(path string) (*survey.Source, error) {
		return survey.Open(ctx, path, password, engine)
	})
}
