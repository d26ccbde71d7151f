package reorder

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"foldwright/reorder/enum"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
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
	return fmt.Sprintf("%s%%", geom.Millimetres(float64(s)*100))
}

// Stand is how a page stands on its panel where there is room to spare.
type Stand = enum.Value[standWords]

const (
	AgainstSpine Stand = iota + 1 // the spine edge on the fold plus the gutter, head and tail alike
	InMiddle                      // in the middle of the panel less the gutter
	Classic                       // margins back < head < fore-edge < tail, as 2 : 3 : 4 : 6
)

type standWords struct{}

func (standWords) Words() enum.Words { return enum.New("place", "spine", "middle", "classic") }

// Wide is what happens to a page that is wider than high in an upright book.
type Wide = enum.Value[wideWords]

const (
	WideTurn   Wide = iota + 1 // turned by a quarter, its head to the left
	WideShrink                 // stays upright and is shrunk to the panel's width
)

type wideWords struct{}

func (wideWords) Words() enum.Words { return enum.New("landscape", "turn", "shrink") }

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
	// Frame, if set, is the margins in which pages stand instead of by Stand and Gutter: at the head and at the spine they are
	// kept exactly, and what a page leaves of its room goes to the fore-edge and the tail.
	Frame *Margins
	// Made, if set, tells which pages are made as large as the trimmed leaf: they cover it, whatever is said of the others.
	Made func(page int) bool
}

// Margins are the margins of a page on its trimmed leaf, in mm. With the spine at the top Head and Tail are at its ends.
type Margins struct{ Inner, Outer, Head, Tail float64 }

// off is what the margins take of a leaf.
func (m Margins) off() Trim { return Trim{Head: m.Head, Tail: m.Tail, ForeEdge: m.Inner + m.Outer} }

// Placed is one page on one side of a sheet.
type Placed struct {
	Page   int
	Matrix geom.Matrix // from the visible box, lower left corner at the origin, mm, to the side
	Clip   geom.Rect   // the panel: nothing of the page leaves it
	// Trimmed is what is left of the panel after trimming.
	Trimmed geom.Rect
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
	Scale  float64   // of the book, 1 is 100 percent
	Most   geom.Size // the size that most pages have
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
	return fmt.Sprintf("%s would not fit into the panel at %s percent", PagesText(e.Pages), geom.Millimetres(e.Scale*100))
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

// slack is how far a page may leave its panel unnoticed, in millimetres: page
// sizes in PDF are often rounded to a point.
const slack = 0.36

// Place puts the pages of a book on their panels. size tells the size of each
// source page's visible box as it is read, in millimetres. What would leave
// its panel at a scale that was asked for is refused with a
// [*LeavesPanelError] unless Clip is set; at ScaleFit pages larger than most
// are shrunk and noted.
func (p Placing) Place(book Book, size func(page int) geom.Size) (Placement, error) {
	panel := book.PanelSize()
	bind := book.Form.Bind
	across := bind.TurnToSide(panel).W
	if p.Gutter < 0 || p.Gutter >= across {
		return Placement{}, refusal.Plan.New("a gutter of %s mm must be at least 0 and less than the panel, which is %s mm wide", geom.Millimetres(p.Gutter), geom.Millimetres(across))
	}
	if p.Stand == Classic && bind == BindTop {
		return Placement{}, refusal.Plan.New("classic margins are for a spine at the left or the right").Advise("with the spine at the top, pages lie against the fold or in the centre")
	}
	if err := p.Trim.check(panel, bind, p.Gutter); err != nil {
		return Placement{}, err
	}
	gutter := Trim{ForeEdge: p.Gutter} // taken off like it, at the other edge
	room, whole := gutter.Of(p.Trim.Of(panel, bind), bind), gutter.Of(panel, bind)
	if f := p.Frame; f != nil {
		trimmed := room
		room, whole = f.off().Of(room, bind), Trim{Head: f.Head, ForeEdge: f.Inner}.Of(panel, bind)
		if room.W <= 0 || room.H <= 0 {
			return Placement{}, refusal.Plan.New("between these margins nothing is left of a page of %s", trimmed)
		}
	}
	if p.Made == nil {
		p.Made = func(int) bool { return false }
	}
	most := mostCommon(book, size, p.Made)
	pl := placer{
		Placing: p,
		panel:   panel,
		room:    room,
		whole:   whole,
		size:    size,
		turning: p.Wide == WideTurn && panel.W < panel.H && most.W <= most.H,
		scale:   float64(p.Scale),
		fits:    math.Inf(1),
	}
	if p.Scale == ScaleFit {
		pl.scale = p.fit(most, room)
	}
	out := Placement{Scale: pl.scale, Most: most}
	out.Sheets = lists.Map(book.Sheets(), func(s Sheet) PlacedSheet { return PlacedSheet{s, pl.placeSide(s.Front), pl.placeSide(s.Back)} })
	if len(pl.leaving) > 0 {
		slices.Sort(pl.leaving)
		return Placement{}, &LeavesPanelError{pl.leaving, pl.scale, pl.fits}
	}
	slices.SortStableFunc(pl.notes, func(a, b Note) int { return a.Page - b.Page })
	out.Notes = pl.notes
	return out, nil
}

// placer places page after page and collects what there is to say.
type placer struct {
	Placing
	panel   geom.Size // as its page is read
	room    geom.Size // what is left of it without gutter and trim
	whole   geom.Size // what is left of it without gutter
	size    func(page int) geom.Size
	turning bool // pages wider than high are turned
	scale   float64
	notes   []Note
	leaving []int   // pages that would leave their panels
	fits    float64 // the largest scale at which all of these fit
}

func (pl *placer) placeSide(panels []Panel) []Placed {
	var placed []Placed
	for _, panel := range panels {
		if panel.Page != 0 {
			placed = append(placed, Placed{panel.Page, pl.matrixOf(panel), panel.Rect, panel.TrimmedRect(pl.Trim, pl.Creep)})
		}
	}
	return placed
}

// matrixOf is the map from the page's visible box to the side.
func (pl *placer) matrixOf(panel Panel) geom.Matrix {
	box := pl.size(panel.Page)
	if pl.Made(panel.Page) {
		cover := *pl
		cover.Frame, cover.Stand, cover.Gutter, cover.room = nil, AgainstSpine, 0, box
		at := cover.cornerOf(panel, box)
		return geom.Translate(at.X, at.Y).Then(panel.fromReading())
	}
	m := geom.Identity
	if pl.turning && box.W > box.H {
		m = geom.Rotate(1).Then(geom.Translate(box.H, 0))
		box = box.Turn()
		pl.addNote(panel.Page, Turned, 0)
	}
	scale := pl.pageScale(panel.Page, box)
	shown := geom.Size{W: box.W * scale, H: box.H * scale}
	if pl.Stand == Classic && !isClassicOrder(pl.room, shown) {
		pl.addNote(panel.Page, Uneven, 0)
	}
	at := pl.cornerOf(panel, shown)
	return m.Then(geom.Enlarge(scale)).Then(geom.Translate(at.X, at.Y)).Then(panel.fromReading())
}

// pageScale is the scale of one page whose box, as it will stand, is given.
func (pl *placer) pageScale(page int, box geom.Size) float64 {
	largest := fitInto(box, pl.room)
	// At a scale that was asked for a page may stand in what is cut off.
	switch {
	case pl.Scale == ScaleFit && pl.Each:
		return pl.fit(box, pl.room)
	case pl.Scale == ScaleFit && holds(pl.room, box, pl.scale), pl.Scale != ScaleFit && holds(pl.whole, box, pl.scale):
		return pl.scale
	case pl.Scale == ScaleFit:
		pl.addNote(page, Shrunk, largest)
		return largest
	case pl.Clip:
		pl.addNote(page, Clipped, 0)
	default:
		pl.leaving = append(pl.leaving, page)
		pl.fits = min(pl.fits, fitInto(box, pl.whole))
	}
	return pl.scale
}

func (pl *placer) addNote(page int, kind NoteKind, scale float64) {
	pl.notes = append(pl.notes, Note{page, kind, scale})
}

// cornerOf is where the lower left corner of a page of the given shown size
// stands on its panel, as the page is read.
func (pl *placer) cornerOf(panel Panel, shown geom.Size) geom.Point {
	spine, bind := panel.spineSide(), BindLeft
	if spine == geom.Up || spine == geom.Down {
		bind = BindTop
	}
	spare := bind.TurnToSide(geom.Size{W: pl.room.W - shown.W, H: pl.room.H - shown.H})
	atSpine, atHead, atTail := pl.Gutter, spare.H/2, spare.H/2
	switch {
	case pl.Frame != nil:
		atSpine, atHead, atTail = pl.Frame.Inner, pl.Frame.Head, pl.Frame.Tail+spare.H
	case pl.Stand == InMiddle:
		atSpine += spare.W / 2
	case pl.Stand == Classic && bind != BindTop:
		var across float64
		across, atTail = classicCorner(spare.W, spare.H)
		atSpine += across
	}
	atSpine -= pl.Creep.At(panel.Depth)
	atHead, atTail = atHead+pl.Trim.Head, atTail+pl.Trim.Tail
	switch spine { // above or below, its ends, which head and tail are named after, lie at the left and the right
	case geom.Left:
		return geom.Point{X: atSpine, Y: atTail}
	case geom.Right:
		return geom.Point{X: pl.panel.W - atSpine - shown.W, Y: atTail}
	case geom.Down:
		return geom.Point{X: atHead, Y: atSpine}
	}
	return geom.Point{X: atHead, Y: pl.panel.H - atSpine - shown.H}
}

// The margins of a page that stands in the classic way are in the proportion
// 2 : 3 : 4 : 6 for back, head, fore-edge and tail (common practice, no
// source; their order: Cockerell 1901, p. 42). At the scale that fits, the
// back margin takes at least an eighteenth of the panel's width, which does
// not make a page too small that brings margins of its own.
const (
	classicAcross = 6.0 / 36 // back and fore-edge, as a share of the width
	classicAlong  = 9.0 / 36 // head and tail, as a share of the width
	// The order needs more room along than across: back < head and
	// fore-edge < tail.
	classicMore = 1.05
)

// fit is the largest scale at which a page has its place in the room.
func (p Placing) fit(box, room geom.Size) float64 {
	if p.Stand != Classic {
		return fitInto(box, room)
	}
	s := fitInto(box, geom.Size{W: room.W - classicAcross*room.W, H: room.H - classicAlong*room.W})
	if surplus := box.H - classicMore*box.W; surplus > 0 {
		s = min(s, max(0.1, (room.H-classicMore*room.W)/surplus))
	}
	return s
}

func holds(room, box geom.Size, scale float64) bool {
	return box.W*scale <= room.W+slack && box.H*scale <= room.H+slack
}

func fitInto(box, room geom.Size) float64 { return min(room.W/box.W, room.H/box.H) }

// classicCorner shares the spare room out: two thirds to the fore-edge and to
// the tail, but no more than half of what is spare across to the head, so that
// head stays below fore-edge where the room is high.
func classicCorner(across, along float64) (atSpine, atTail float64) {
	head := min(along/3, across/2)
	return across / 3, along - head
}

// isClassicOrder tells whether the margins rise from the back over the head and
// the fore-edge to the tail.
func isClassicOrder(room, shown geom.Size) bool {
	across, along := room.W-shown.W, room.H-shown.H
	back, tail := classicCorner(across, along)
	head, foreEdge := along-tail, across-back
	return 0 < back && back < head && head < foreEdge && foreEdge < tail
}

// fromReading maps the panel, as its page is read, to the side.
func (p Panel) fromReading() geom.Matrix {
	turn := geom.Rotate(p.Head.Quarters())
	b := turn.Bounds(p.readingSize().Rect())
	return turn.Then(geom.Translate(p.Rect.X0-b.X0, p.Rect.Y0-b.Y0))
}

// mostCommon is the size that most pages have, to a tenth of a millimetre; of
// sizes that are equally common the one that comes first in the book. Pages that are made do not count.
func mostCommon(book Book, size func(int) geom.Size, made func(int) bool) geom.Size {
	tenths := func(s geom.Size) geom.Size { return geom.Size{W: math.Round(s.W * 10), H: math.Round(s.H * 10)} }
	count := map[geom.Size]int{}
	var first []geom.Size // of every size the first page's
	for _, g := range book.Gatherings {
		for _, page := range g.Pages {
			if page == 0 || made(page) {
				continue
			}
			s := size(page)
			if count[tenths(s)]++; count[tenths(s)] == 1 {
				first = append(first, s)
			}
		}
	}
	if len(first) == 0 {
		return book.PanelSize()
	}
	return slices.MaxFunc(first, func(a, b geom.Size) int { return cmp.Compare(count[tenths(a)], count[tenths(b)]) })
}
