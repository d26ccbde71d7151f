package pdf

import (
	"errors"
	"fmt"
	"io/fs"
)

// What can be wrong with a file. Match with errors.Is; the *Error around it
// names the file and the page.
var (
	ErrNotFound    = fs.ErrNotExist
	ErrFolder      = errors.New("is a folder, not a file")
	ErrNotPDF      = errors.New("is not a PDF file")
	ErrEmpty       = errors.New("is empty")
	ErrTruncated   = errors.New("is cut short: its end is missing")
	ErrDamaged     = errors.New("is damaged and can't be read")
	ErrNoPages     = errors.New("has no pages")
	ErrZeroSize    = errors.New("has a page box of zero size")
	ErrPassword    = errors.New("needs a password")
	ErrWrongPass   = errors.New("does not open with this password")
	ErrEncryption  = errors.New("is encrypted in a way that can't be read here")
	ErrNoPrinting  = errors.New("may not be printed: its owner has not permitted it")
	ErrTooLarge    = errors.New("unpacks to more than can be believed")
	ErrNoSuchPage  = errors.New("has no such page")
	ErrSourcePage  = errors.New("a file of drawings can't hold a source page")
	ErrUnplaceable = errors.New("can't be placed: the matrix has no size")
)

// Error says which file, and which page of it, can't be read or written.
type Error struct {
	File string // path as it was given
	Page int    // from 1; 0: no page in particular
	Err  error
}

func (e *Error) Error() string {
	if e.Page > 0 {
		return fmt.Sprintf("%s: page %d %v", e.File, e.Page, e.Err)
	}
	return fmt.Sprintf("%s %v", e.File, e.Err)
}

func (e *Error) Unwrap() error { return e.Err }

// Hint is what the reader of the message can do, or nothing.
func (e *Error) Hint() string {
	switch {
	case errors.Is(e.Err, ErrPassword), errors.Is(e.Err, ErrWrongPass):
		return "give the password in a file with --password-file"
	case errors.Is(e.Err, ErrNoPrinting):
		return "the owner's password, given with --password-file, lifts this"
	case errors.Is(e.Err, ErrTruncated):
		return "download or copy the file again"
	case errors.Is(e.Err, ErrFolder):
		return "name a PDF file within it"
	}
	return ""
}
