package reorder

import "foldwright/reorder/enum"

// Side is one of a sheet's two faces in the plan's frames: the front is the
// face printed in the front pass and carries the outer side; the back is seen
// after turning the sheet about its long edge, like the page of a book, so
// that the point (x, y) of the front lies over (W-x, y) of the back.
type Side int

const (
	Front Side = iota + 1
	Back
)

var sideWords = enum.Words{What: "side", List: []string{"front", "back"}}

func (s Side) String() string { return sideWords.Of(int(s)) }

// Towards is one of the four directions on a side, as it is looked at in feed
// orientation.
type Towards int

const (
	Up    Towards = iota + 1 // +y, the sheet's head
	Left                     // -x
	Down                     // -y, the sheet's tail
	Right                    // +x
)

var towardsWords = enum.Words{What: "direction", List: []string{"up", "left", "down", "right"}}

func (t Towards) String() string { return towardsWords.Of(int(t)) }

// Quarters is how many counter-clockwise quarter turns bring up to t.
func (t Towards) Quarters() int { return int(t) - 1 }

// Panel is the rectangle of a side that one page occupies.
type Panel struct {
	Rect  Rect    // mm, in the view of its own side
	Head  Towards // where the page's head points
	Spine Towards // at which edge of Rect the fold lies that is sewn through
	Place int     // place of the page in the reading order of its gathering, from 1
	Page  int     // number of the source page, from 1; 0 is an added blank
	Depth int     // how many thicknesses of paper lie outside this leaf in the gathering
}

// Sheet is one printed sheet with the panels of its two sides.
type Sheet struct {
	Gathering int     // number of the gathering, from 1
	InGather  int     // number within the gathering, from 1, outermost first
	Number    int     // number within the book, from 1
	Front     []Panel // may be fewer than the back's: faces that are never seen have no panel
	Back      []Panel
}

// Side is the panels of one side.
func (s Sheet) Side(side Side) []Panel {
	if side == Front {
		return s.Front
	}
	return s.Back
}

// Gathering is the sheets that are sewn through one fold.
type Gathering struct {
	Number int     // from 1
	Sheets []Sheet // outermost first
	Pages  []int   // the source page at each place in reading order, 0 for an added blank
}

// Book is the plan of a whole text block on paper.
type Book struct {
	Sheet      Size // feed orientation
	Form       Form
	Gatherings []Gathering
}

// SpineEdge is the panel's edge on the fold that is sewn through, from the
// page's head to its tail.
func (p Panel) SpineEdge() (head, tail Point) {
	r, c := p.Rect, p.Rect.Centre()
	along := map[Towards]Point{Up: {c.X, r.Y1}, Left: {r.X0, c.Y}, Down: {c.X, r.Y0}, Right: {r.X1, c.Y}}
	spine := along[p.Spine]
	if p.Spine == Left || p.Spine == Right {
		return Point{spine.X, along[p.Head].Y}, Point{spine.X, r.Y0 + r.Y1 - along[p.Head].Y}
	}
	return Point{along[p.Head].X, spine.Y}, Point{r.X0 + r.X1 - along[p.Head].X, spine.Y}
}
