package cli

import (
	"context"
	"errors"
	"io"
	"syscall"

	"foldwright/cmd/internal/desk/planroom"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles/regular"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// titleCommand is the argument of the process that a shelf starts for one title, and
// pageTitleCommand that of a shelf on the page in the browser.
const (
	titleCommand     = "title-of-shelf"
	pageTitleCommand = "title-of-page"
)

// serveTitle is the other end of batch: it reads orders and makes the
// titles. It is no command of the command line, which takes half a millisecond to set up.
func serveTitle(ctx context.Context, s Surroundings) Status {
	m := shelf.Maker{
		Version: Version, Style: flagStyle{},
		Password: func(file string) (string, error) { return readPasswordIn(file, regular.Open) }, // which every title reads anew
		Prove: func(ctx context.Context, o shelf.Order, dir string, source *survey.Source, engine *render.Renderer) error {
			silent := s
			silent.Out = io.Discard // where the shelf listens; it keeps no book of the proof
			return proveFolder(ctx, silent, dir, o.Place, proof.Options{Renderer: engine, Source: source}, true, func(*proof.Print) error { return nil })
		},
	}
	return serve(ctx, s, m, describe)
}

// servePageTitle is the same for the page in the browser, in its words.
func servePageTitle(ctx context.Context, s Surroundings) Status {
	m := shelf.Maker{Version: Version, Style: planroom.Words(), Warnings: planroom.Warnings}
	return serve(ctx, s, m, describeOnPage)
}

func serve(ctx context.Context, s Surroundings, m shelf.Maker, describe func(error) shelf.Failure) Status {
	if err := errors.Join(shelf.Serve(ctx, s.In, s.Out, m.Make, describe), m.Close()); err != nil {
		visible.Fprintf(s.Err, "foldwright: %s\n", message(err, flagStyle{}))
		return statusOf(err)
	}
	return Done
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

// describeOnPage puts it into the words of the page in the browser.
func describeOnPage(err error) shelf.Failure {
	f := describe(err)
	style := planroom.Words()
	f.Sentence = message(err, style)
	switch {
	case errors.Is(err, syscall.ENOSPC):
		f.Sentence = "the disk is full"
		f.Hint = phrase.New("make room on the disk, then start the shelf with this book again")
	case errors.Is(err, pdf.ErrPassword), errors.Is(err, pdf.ErrWrongPassword):
		f.Sentence = "this PDF needs a password, and none is known that opens it"
		f.Hint = phrase.New("open the book's Plan page and give the password there, then start the shelf with this book again")
	case refusal.Hint(err).IsZero() && statusOf(err) == Output:
		f.Hint = phrase.New("see that the folder of your books can be written, then start the shelf with this book again")
	default:
		f.Hint = phrase.New("%s", f.Hint.In(style)) // what it names is only text in a report
	}
	return f
}
