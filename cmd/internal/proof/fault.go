package proof

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"foldwright/reorder"
)

// ErrDummy says that a folder holds the numbers of pages instead of the pages.
var ErrDummy = errors.New("holds a dummy: there are numbers where pages would be, so nothing can be compared")

// Kind is what is wrong with a page.
type Kind int

const (
	Missing   Kind = iota + 1 // nothing stands there
	Turned                    // it stands on its head
	Exchanged                 // another page stands there
	Moved                     // it stands elsewhere on its leaf, or has another size
	Differs                   // something is there that is not the page
	Extra                     // something stands where a blank should be
	Lost                      // a part of it cannot be printed, or is cut off
)

// Fault is something that is wrong.
type Fault struct {
	Kind  Kind // 0: with a file or the whole stack
	Page  int  // of the source; 0: a blank, or no page in particular
	Place Place
	Sheet int    // number in the book; 0: no sheet in particular
	File  string // which printed it; may be empty
	What  string // is wrong: in words, without the page and the sheet
}

// String says all of it: page, sheet, side, and what is wrong.
func (f Fault) String() string {
	if f.Sheet == 0 {
		return f.What
	}
	page := fmt.Sprintf("page %d", f.Page)
	if f.Page == 0 {
		page = fmt.Sprintf("blank, place %d of gathering %d", f.Place.Number, f.Place.Gathering)
	}
	copies := ""
	if f.Place.Copy > 1 {
		copies = fmt.Sprintf(", copy %d", f.Place.Copy)
	}
	return fmt.Sprintf("%s (sheet %d, %s%s): %s", page, f.Sheet, f.Place.Side, copies, f.What)
}

// Error says that a proof has found faults.
type Error struct {
	Folder string
	Faults []Fault
	Pages  int // that were compared
}

// UncheckedError says that a proof has found no fault but could not look at
// all pages: so nobody knows.
type UncheckedError struct {
	Folder string
	Why    []string // as in [Result]
	Unseen int
	Pages  int // of the book, with those unseen
}

func (e *UncheckedError) Error() string {
	return fmt.Sprintf("%s: %d of %s could not be checked: %s", e.Folder, e.Unseen, reorder.Count(e.Pages, "page"), FirstFew(e.Why))
}

// FirstFew is what the first of a list say, and how many more there are.
func FirstFew(list []string) string {
	const most = 3
	text := strings.Join(list[:min(most, len(list))], "; ")
	if more := len(list) - most; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text
}

// Hint is what to do about it.
func (e *UncheckedError) Hint() string {
	return "look at these pages in the print files yourself, or give each page more time with --page-timeout; without --proof the files are written unchecked"
}

// Fault is an [*Error] if a check has found anything wrong, else an
// [*UncheckedError] if it has left out a page.
func (p *Print) Fault(r Result) error {
	switch {
	case len(r.Faults) > 0:
		return &Error{p.Folder, r.Faults, r.Pages}
	case len(r.Why) > 0:
		return &UncheckedError{p.Folder, r.Why, r.Unseen, r.Pages}
	}
	return nil
}

func (e *Error) Error() string {
	pages := 0
	for _, f := range e.Faults {
		if f.Sheet != 0 {
			pages++
		}
	}
	if pages == 0 {
		return fmt.Sprintf("%s would not make the book", e.Folder)
	}
	return fmt.Sprintf("%s would not make the book: %s of %d wrong", e.Folder, reorder.Count(pages, "page"), e.Pages)
}

// Hint is what to do about it.
func (e *Error) Hint() string {
	if !slices.ContainsFunc(e.Faults, func(f Fault) bool { return f.Kind != Lost }) {
		return "a smaller --scale, or --place centre, may keep the print on the paper"
	}
	return "print nothing of it; prepare the book anew, and if this appears again, look at the pages named"
}
