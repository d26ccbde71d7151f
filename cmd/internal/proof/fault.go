package proof

import (
	"fmt"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Kind is what is wrong with a page.
type Kind int

const (
	Missing   Kind = iota + 1 // nothing stands there
	Turned                    // it is upside down
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
	Of    string // the leaves of other paper that it is about; empty: the book
}

// String says all of it: page, sheet, side, and what is wrong.
func (f Fault) String() string {
	if of := f.Of; of != "" {
		f.Of = ""
		return of + ": " + f.String()
	}
	if f.Sheet == 0 {
		return f.What
	}
	page := fmt.Sprintf("page %d", f.Page)
	if f.Page == 0 {
		page = fmt.Sprintf("blank page %d of gathering %d", f.Place.Number, f.Place.Gathering)
	}
	copies := ""
	if f.Place.Copy > 1 {
		copies = fmt.Sprintf(", copy %d", f.Place.Copy)
	}
	return fmt.Sprintf("%s (sheet %d, %s%s): %s", page, f.Sheet, f.Place.Side, copies, f.What)
}

// Fault is an error if a check has found anything wrong, or if it has left out a
// page: then nobody knows.
func (p *Print) Fault(r Result) error {
	switch {
	case len(r.Faults) > 0:
		return p.refuseFaults(r)
	case len(r.Why) > 0:
		return refusal.Partly.New("%s: %d of %s could not be checked: %s", p.Folder, r.Unseen, reorder.Count(r.Pages, "page"), Few(r.Why)).
			Advise("look at these pages in the print files yourself, or give each page more time with %s; without %s the files are written unchecked", phrase.Set("page-timeout"), phrase.Set("proof"))
	}
	return nil
}

// refuseFaults says that a proof has found faults.
func (p *Print) refuseFaults(r Result) error {
	pages, hint := 0, phrase.New("a smaller %s, or %s, may keep the print on the paper", phrase.Set("scale"), phrase.Set("place", "middle"))
	for _, f := range r.Faults {
		if f.Sheet != 0 {
			pages++
		}
		if f.Kind != Lost {
			hint = phrase.New("do not print it; prepare the book again, and if this happens again, look at the pages named")
		}
	}
	if pages == 0 {
		return refusal.Faults.New("%s would not make the book", p.Folder).Advise("%s", hint)
	}
	return refusal.Faults.New("%s would not make the book: %s of %d wrong", p.Folder, reorder.Count(pages, "page"), r.Pages).Advise("%s", hint)
}

// Few is the first three of several reasons, and the number of the others.
func Few(reasons []string) string {
	const most = 3
	text := strings.Join(reasons[:min(most, len(reasons))], "; ")
	if more := len(reasons) - most; more > 0 {
		text += fmt.Sprintf("; and %d more", more)
	}
	return text
}
