package reorder

import (
	"fmt"

	"foldwright/reorder/enum"
)

// Scale is the enlargement of the whole book. The zero value fits: the
// largest scale, above 100 percent too, at which the size that most pages
// have lies in the panel less the gutter.
type Scale float64

// ScaleFit is the zero value of Scale.
const ScaleFit Scale = 0

func (s Scale) String() string {
	switch s {
	case ScaleFit:
		return "fit"
	case 1:
		return "none"
	}
	return fmt.Sprintf("%s%%", Millimetres(float64(s)*100))
}

// Stand is how a page stands on its panel where there is room to spare.
type Stand int

const (
	OnFold  Stand = iota + 1 // the spine edge on the fold plus the gutter, head and tail alike
	Centred                  // in the middle of the panel less the gutter
	Classic                  // margins back < head < fore-edge < tail, as 2 : 3 : 4 : 6
)

var standWords = enum.Words{What: "place", List: []string{"fold", "centre", "classic"}}

func (s Stand) String() string { return standWords.Of(int(s)) }

func (s Stand) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

func (s *Stand) UnmarshalText(text []byte) error { return enum.Parse(s, standWords, string(text)) }

// Wide is what happens to a page that is wider than high in an upright book.
type Wide int

const (
	WideTurn   Wide = iota + 1 // turned by a quarter, its head to the left
	WideShrink                 // stays upright and is shrunk to the panel's width
)

var wideWords = enum.Words{What: "landscape", List: []string{"turn", "shrink"}}

func (w Wide) String() string { return wideWords.Of(int(w)) }

func (w Wide) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

func (w *Wide) UnmarshalText(text []byte) error { return enum.Parse(w, wideWords, string(text)) }

// Placing says how large the pages are and where they stand on their panels.
type Placing struct {
	Scale  Scale
	Stand  Stand
	Gutter float64 // mm between the fold and the page's spine edge
	Creep  Creep   // by which the pages of inner leaves are moved towards the spine
	Trim   Trim    // what is cut off after folding
	Wide   Wide
	Clip   bool // cut off what leaves its panel instead of refusing it
	Each   bool // with ScaleFit: fit every page by itself
}

// Placed is one page on one side of a sheet.
type Placed struct {
	Page   int
	Matrix Matrix // from the visible box, lower left corner at the origin, mm, to the side
	Clip   Rect   // the panel: nothing of the page leaves it
	// Trimmed is what is left of the panel after trimming.
	Trimmed Rect
}

// PlacedSheet is a sheet with its pages placed; blanks are left out.
type PlacedSheet struct {
	Sheet       Sheet
	Front, Back []Placed
}

// Side is the pages of one side.
func (s PlacedSheet) Side(side Side) []Placed {
	if side == Front {
		return s.Front
	}
	return s.Back
}

// Note is something about one page that the person should know.
type Note struct {
	Page int
	Kind NoteKind
	// Scale is the page's own scale where it differs from the book's.
	Scale float64
}

// NoteKind is what a [Note] is about.
type NoteKind int

const (
	Shrunk  NoteKind = iota + 1 // larger than most pages and shrunk to fit its panel
	Turned                      // wider than high and turned, its head to the left
	Clipped                     // leaves its panel and is cut off there
	Uneven                      // the order of the classic margins cannot be kept on this page
)

// Placement is where every page of a book stands.
type Placement struct {
	Scale  float64 // of the book, 1 is 100 percent
	Most   Size    // the size that most pages have
	Sheets []PlacedSheet
	Notes  []Note // in the order of pages
}

// LeavesPanelError says that pages would leave their panels at a given scale.
type LeavesPanelError struct {
	Pages []int   // in rising order
	Scale float64 // the scale asked for
	Fits  float64 // the largest scale at which all of them fit
}

func (e *LeavesPanelError) Error() string {
	return fmt.Sprintf("%s would leave the panel at %s percent", PagesText(e.Pages), Millimetres(e.Scale*100))
}

// PagesText names up to five pages and counts the others.
func PagesText(pages []int) string {
	if len(pages) == 1 {
		return fmt.Sprintf("page %d", pages[0])
	}
	text := "pages "
	for i, p := range pages {
		switch {
		case i == 5:
			return fmt.Sprintf("%s and %d more", text, len(pages)-5)
		case i > 0:
			text += ", "
		}
		text += fmt.Sprint(p)
	}
	return text
}
