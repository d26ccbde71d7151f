package pdf

import "foldwright/reorder"

// Pen is how a line is drawn. The zero value draws nothing.
type Pen struct {
	Width float64   // mm
	Grey  float64   // 0 is black, 1 is white
	Dash  []float64 // lengths of dashes and gaps in mm; none: a whole line
}

// Font is one of the fonts that every reader of PDF has at hand.
type Font int

const (
	Helvetica Font = iota + 1
	HelveticaBold
)

func (f Font) String() string {
	switch f {
	case Helvetica:
		return "Helvetica"
	case HelveticaBold:
		return "Helvetica-Bold"
	}
	return "no font"
}

// Anchor is which point of a text stands at its place, along the baseline.
type Anchor int

const (
	AnchorLeft Anchor = iota + 1
	AnchorCentre
	AnchorRight
)

func (a Anchor) String() string {
	switch a {
	case AnchorLeft:
		return "left"
	case AnchorCentre:
		return "centre"
	case AnchorRight:
		return "right"
	}
	return "no anchor"
}

// Text is one line of text.
type Text struct {
	Text   string
	Font   Font
	Size   float64 // mm
	Grey   float64 // 0 is black, 1 is white
	Angle  float64 // degrees, counter-clockwise about the anchor
	Anchor Anchor
}

// Drawing collects marks on a side, in mm from the side's lower left corner.
// The zero value is empty and ready to use.
type Drawing struct {
	ops   []byte
	fonts [3]bool
}

// Empty tells whether nothing has been drawn.
func (d *Drawing) Empty() bool { return len(d.ops) == 0 }

// Line draws a straight line.
func (d *Drawing) Line(from, to reorder.Point, p Pen) { d.Polyline([]reorder.Point{from, to}, p) }

// Polyline draws straight lines from point to point.
func (d *Drawing) Polyline(points []reorder.Point, p Pen) {}

// Polygon draws a closed line through the points.
func (d *Drawing) Polygon(points []reorder.Point, p Pen) {}

// FillPolygon fills the shape within the points; 0 is black, 1 is white.
func (d *Drawing) FillPolygon(points []reorder.Point, grey float64) {}

// Rect draws the outline of a rectangle.
func (d *Drawing) Rect(r reorder.Rect, p Pen) {}

// FillRect fills a rectangle; 0 is black, 1 is white.
func (d *Drawing) FillRect(r reorder.Rect, grey float64) {}

// Circle draws a circle of the given radius in mm.
func (d *Drawing) Circle(centre reorder.Point, radius float64, p Pen) {}

// FillCircle fills a circle; 0 is black, 1 is white.
func (d *Drawing) FillCircle(centre reorder.Point, radius, grey float64) {}

// Text writes one line with its anchor at a point of the baseline.
func (d *Drawing) Text(at reorder.Point, t Text) {}

// TextWidth is the width in mm of a text set in a font of the given size in mm.
func TextWidth(text string, f Font, size float64) float64 { return 0 }
