package pdf

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"runtime/debug"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/profiles/regular"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Hints that two errors have in common.
var (
	givePassword = phrase.New("give the password in a file with %s", phrase.Set("password-file"))
	leaveOut     = phrase.New("leave the page out with %s", phrase.Set("pages"))
)

// What can be wrong with a file. Match with errors.Is; the *Error around it
// names the file and the page.
var (
	ErrNotFound      = fs.ErrNotExist
	ErrFolder        = refusal.Source.New("is a folder, not a file").Advise("name a PDF file within it")
	ErrNotPDF        = cos.ErrNotPDF
	ErrEmpty         = errors.New("is empty")
	ErrTruncated     = cos.ErrTruncated
	ErrDamaged       = cos.ErrDamaged
	ErrNoPages       = errors.New("has no pages")
	ErrZeroSize      = refusal.Source.New("has a page box with no size").Advise("%s", leaveOut)
	ErrPassword      = refusal.Locked.New("needs a password").Advise("%s", givePassword)
	ErrWrongPassword = refusal.Locked.New("doesn't open with this password").Advise("%s", givePassword)
	ErrEncryption    = cos.ErrEncryption
	ErrNoPrinting    = refusal.Locked.New("does not allow printing: its owner has forbidden it").Advise("give the owner's password with %s", phrase.Set("password-file"))
	ErrTooLarge      = cos.ErrTooLarge
	ErrTooMuch       = cos.ErrTooMuch
	ErrTooManyPages  = fmt.Errorf("has more than %d pages, too many for one book", maxPages)
	ErrNoSuchPage    = errors.New("is not in the file")
	ErrSourcePage    = errors.New("a file of drawings can't hold a source page")
	ErrUnplaceable   = errors.New("can't be placed: the matrix has no extent")
	ErrPaper         = errors.New("the paper has no extent")
	ErrChanged       = cos.ErrShorter
	ErrInternal      = errors.New("can't be read: its data made the program fail")
)

// Error says which file, and which page of it, can't be read or written.
type Error struct {
	File string // path as it was given
	Page int    // from 1; 0: no page in particular
	Err  error
}

func (e *Error) Error() string { return regular.Sentence(e.File, e.Page, e.Err) }

func (e *Error) Unwrap() error { return e.Err }

// Kind is that of what is wrong with the file.
func (e *Error) Kind() refusal.Kind { return cmp.Or(refusal.Of(e.Err), refusal.Source) }

// Hint is what can be done where what is wrong with the file has no hint of its own.
func (e *Error) Hint() phrase.Sentence {
	if _, ok := errors.AsType[*regular.KindError](e.Err); ok {
		return phrase.New("save its contents to a file first, and give that file")
	}
	if errors.Is(e.Err, ErrDamaged) && e.Page > 0 {
		return leaveOut
	}
	return phrase.Sentence{}
}

// nameFile makes sure that an error leaves the package with the name of the
// file, and that no input can end the program: a panic becomes ErrInternal.
func nameFile(err *error, path string) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("%w (%v at %s)", ErrInternal, r, strings.ReplaceAll(strings.TrimSpace(string(debug.Stack())), "\n", "; "))
	}
	if _, known := errors.AsType[*Error](*err); *err == nil || known || errors.Is(*err, context.Canceled) || errors.Is(*err, context.DeadlineExceeded) {
		return
	}
	*err = &Error{File: path, Err: *err}
}
