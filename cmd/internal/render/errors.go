package render

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	engine "github.com/klippa-app/go-pdfium/errors"

	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// What can go wrong. Match with errors.Is; the *Error around it names the
// file and the page.
var (
	ErrEmpty         = errors.New("is empty")
	ErrUnreadable    = errors.New("can't be read as a PDF file")
	ErrNoPages       = errors.New("has no pages")
	ErrPassword      = errors.New("needs a password")
	ErrWrongPassword = errors.New("doesn't open with this password")
	ErrEncryption    = errors.New("is encrypted in a way that can't be read here")
	ErrNoPrinting    = errors.New("does not allow printing: its owner has forbidden it")
	ErrNoSuchPage    = errors.New("is not in the file")
	ErrPage          = errors.New("can't be loaded")
	ErrTooLarge      = errors.New("would need too large a picture")
	ErrMemory        = errors.New("needs too much memory to be drawn")
	ErrEngine        = errors.New("made the drawing engine fail")
	ErrCrash         = errors.New("made the drawing engine crash")
	ErrClosed        = errors.New("renderer or document is closed")
)

// TimeError says that a page, or a file, took longer than it may.
type TimeError struct {
	Done  string // what could not be done
	Limit time.Duration
}

func (e *TimeError) Error() string {
	return fmt.Sprintf("could not be %s in %g s", e.Done, e.Limit.Seconds())
}

// Error says which file, and which page of it, the trouble is with.
type Error struct {
	File string // as it was given
	Page int    // from 1; 0: no page in particular
	Err  error
}

func (e *Error) Error() string { return regular.Sentence(e.File, e.Page, e.Err) }

func (e *Error) Unwrap() error { return e.Err }

// Kind is whose fault it is.
func (e *Error) Kind() refusal.Kind { return refusal.Source }

// Why is what is wrong, to be said after the name of the page or the file.
func (e *Error) Why() string {
	if errors.Is(e.Err, ErrEngine) {
		return ErrEngine.Error() // what follows are the engine's own words
	}
	return e.Err.Error()
}

// refusals are errors after which the worker is as good as before.
var refusals = []error{
	ErrUnreadable, ErrNoPages, ErrPassword, ErrWrongPassword, ErrEncryption, ErrNoPrinting,
	ErrNoSuchPage, ErrPage, ErrTooLarge, ErrClosed, errNotWritten, context.Canceled, context.DeadlineExceeded,
}

// isHarmless tells whether the worker can go on after this error.
func isHarmless(err error) bool {
	return slices.ContainsFunc(refusals, func(r error) bool { return errors.Is(err, r) })
}

// openError turns the engine's reason for not opening a file into ours.
func openError(err error, password string) error {
	switch {
	case errors.Is(err, engine.ErrPassword) && password == "":
		return ErrPassword
	case errors.Is(err, engine.ErrPassword):
		return ErrWrongPassword
	case errors.Is(err, engine.ErrSecurity):
		return ErrEncryption
	case errors.Is(err, engine.ErrFile), errors.Is(err, engine.ErrFormat),
		errors.Is(err, engine.ErrUnknown), errors.Is(err, engine.ErrSuccess), errors.Is(err, engine.ErrPage):
		return ErrUnreadable
	}
	return err
}
