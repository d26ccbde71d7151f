// Package desk is the page in the browser: everything the program does, for people
// who have no terminal. [Open] serves it on this computer only, to one person.
//
// The screens are packages below this one, a room each; package page is what they
// share, package library where the books lie. Nothing is planned here: the screens
// hold the same options, drafts and plans as the command line.
//
// Who may ask is decided in guard.go, in one place before all routes; that only one
// desk is open for a person, in instance.go.
package desk

import (
	"context"
	"errors"
	"net"
	"net/http"
	"sync/atomic"
	"time"

	"foldwright/cmd/internal/desk/benchroom"
	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/desk/pressroom"
	"foldwright/cmd/internal/desk/printerroom"
	"foldwright/cmd/internal/desk/shelfroom"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/profiles"
	"foldwright/reorder/refusal"
)

// Options are what a desk is opened with.
type Options struct {
	Books    string         // the folder of books; empty: [library.Folder]
	Profiles profiles.Store // of printers
	Region   options.Region
	Version  string                     // of the program
	Titles   page.Titles                // how a shelf makes its titles
	Idle     time.Duration              // after so long without a request, and without anything in work, it ends; 0: two hours
	Browse   func(address string) error // shows a page in the person's browser
	Tell     func(address string)       // says where the page is
}

// usualIdle outlasts a meal: a page that is open in a browser asks every minute.
const usualIdle = 2 * time.Hour

// Open serves the desk until the person ends it, it has been idle for long, or the context
// ends, which is no error. If one is open for this person already, that one is shown.
func Open(ctx context.Context, o Options) error {
	dir := o.Books
	if dir == "" {
		var err error
		if dir, err = library.Folder(); err != nil {
			return err
		}
	}
	books, err := library.Open(dir)
	if err != nil {
		return err
	}
	defer books.Close()
	instance, err := claim(books.Dir())
	var other *openElsewhere
	if errors.As(err, &other) {
		return o.show(other.address)
	}
	if err != nil {
		return err
	}
	defer instance.release()

	listener, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		return refusal.Output.New("no page can be served on this computer: %w", err)
	}
	ctx, quit := context.WithCancel(ctx)
	defer quit()
	renderer := render.Start(render.Options{Waited: true, PageTime: time.Minute})
	defer renderer.Close()
	d := &page.Desk{
		Context: ctx, Library: books, Profiles: o.Profiles, Region: o.Region, Version: o.Version, Renderer: renderer, Quit: quit,
		Titles: o.Titles,
	}
	for _, add := range screens {
		add(d)
	}
	g := newGuard(listener.Addr().String(), d.Routes())
	if err := instance.tell(g); err != nil {
		return errors.Join(err, listener.Close())
	}
	return serve(ctx, quit, o, d, g, listener)
}

// screens are the rooms of the desk.
var screens = []func(*page.Desk){planroom.Add, printerroom.Add, pressroom.Add, benchroom.Add, shelfroom.Add}

func serve(ctx context.Context, quit func(), o Options, d *page.Desk, g *guard, listener net.Listener) error {
	server := &http.Server{
		Handler:           g,
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		BaseContext:       func(net.Listener) context.Context { return ctx },
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	go endWhenIdle(ctx, quit, d, &g.last, o.Idle)
	err := o.show(g.entrance())
	if err == nil {
		select {
		case err = <-ended:
		case <-ctx.Done():
		}
	}
	quit()
	// What is being answered is answered: the page that says good-bye among them.
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), 5*time.Second)
	defer cancel()
	if server.Shutdown(last) != nil {
		err = errors.Join(err, server.Close())
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// show says where the page is and shows it.
func (o Options) show(address string) error {
	if o.Tell != nil {
		o.Tell(address)
	}
	if o.Browse == nil {
		return nil
	}
	if err := o.Browse(address); err != nil && o.Tell == nil {
		return refusal.Output.New("no browser could be opened: %w", err)
	}
	return nil
}

// endWhenIdle ends the desk when nobody has asked for long and nothing is in work.
func endWhenIdle(ctx context.Context, quit func(), d *page.Desk, last *atomic.Int64, after time.Duration) {
	if after == 0 {
		after = usualIdle
	}
	for {
		select {
		case <-ctx.Done():
			return
		case <-time.After(min(after/4, time.Minute)):
		}
		if !d.IsBusy() && time.Since(time.Unix(0, last.Load())) > after {
			quit()
			return
		}
	}
}
