package pdf

import (
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// textMarks are the annotations that mark stretches of text (ISO 32000-1, 12.5.6.10).
var textMarks = []cos.Name{"Highlight", "Underline", "StrikeOut", "Squiggly"}

// sketch is the content of an appearance that is made here.
type sketch struct {
	operators
	c       *copier
	a       annotation
	extent  geom.Size // of a field or a note: it is drawn from the origin, and before it is turned
	letters           // of its text
}

// shape draws an annotation that has no appearance stream, as readers do for
// those whose looks follow from their entries (ISO 32000-1, 12.5.6).
func (c *copier) shape(a annotation) (mark, bool) {
	s := &sketch{c: c, a: a}
	s.add("/GS gs")
	blend := cos.Name("Normal")
	ok := false
	switch a.subtype {
	case "Square", "Circle":
		ok = s.outline()
	case "Highlight":
		blend = "Multiply"
		ok = s.highlight()
	case "Underline", "StrikeOut", "Squiggly":
		ok = s.textLines()
	case "Ink", "Line", "Polygon", "PolyLine":
		ok = s.strokes()
	case "Text":
		ok = s.drawNote()
	case "FreeText":
		return c.freeText(a)
	}
	if !ok {
		return mark{}, false
	}
	opacity := c.src.Number(a.dict.Get("CA"), 1)
	if !(opacity >= 0 && opacity <= 1) {
		opacity = 1
	}
	state := cos.NewDict("CA", cos.Number(opacity), "ca", cos.Number(opacity), "BM", blend)
	resources := cos.NewDict("ExtGState", cos.NewDict("GS", state))
	// Lines may reach beyond the rectangle by their width; pictures of the same file show them whole.
	limit := a.rect
	if slices.Contains(textMarks, a.subtype) { // some programs keep only the marked stretches up to date
		for _, q := range s.quads() {
			for _, p := range q {
				limit = limit.Around(geom.Rect{X0: p.X, Y0: p.Y, X1: p.X, Y1: p.Y})
			}
		}
	}
	return s.mark(limit.Inset(-20, -20, -20, -20), resources, geom.Identity)
}

// mark writes a sketch as a form.
func (s *sketch) mark(bbox geom.Rect, resources *cos.Dict, m geom.Matrix) (mark, bool) {
	n, err := s.c.form(bbox, resources, s.operators)
	return mark{n, m}, err == nil
}

// colour writes the operator for a colour array; none is written for an empty one.
func (s *sketch) colour(o cos.Object, names map[int]string) bool {
	v := s.c.floats(o)
	name := names[len(v)]
	if name != "" {
		s.add(name, v...)
	}
	return name != ""
}

// Operators that set a colour, by how many components it has.
var (
	stroking = map[int]string{1: "G", 3: "RG", 4: "K"}
	filling  = map[int]string{1: "g", 3: "rg", 4: "k"}
)

// floats are the numbers of an array; nil if one isn't a number.
func (c *copier) floats(o cos.Object) []float64 {
	var out []float64
	for _, e := range c.src.Array(o) {
		v, ok := cos.Float(c.src.Resolve(e))
		if !ok {
			return nil
		}
		out = append(out, v)
	}
	return out
}

// points are the numbers of an array two by two.
func (c *copier) points(o cos.Object) (out []geom.Point) {
	for v := c.floats(o); len(v) > 1; v = v[2:] {
		out = append(out, geom.Point{X: v[0], Y: v[1]})
	}
	return out
}

// border sets width and dashes of an annotation's lines and returns the width.
func (s *sketch) border() float64 {
	src, width := s.c.src, 1.0
	var dash []float64
	if b := src.Array(s.a.dict.Get("Border")); len(b) > 2 {
		width = src.Number(b[2], width)
		if len(b) > 3 {
			dash = s.c.floats(b[3])
		}
	}
	if bs := src.Dict(s.a.dict.Get("BS")); bs != nil {
		width = src.Number(bs.Get("W"), width)
		if src.Name(bs.Get("S")) == "D" {
			if dash = s.c.floats(bs.Get("D")); dash == nil {
				dash = []float64{3}
			}
		}
	}
	s.add("w", width)
	if len(dash) > 0 {
		s.setDash(dash)
	}
	return width
}

// outline draws a rectangle or an ellipse within the annotation's rectangle.
func (s *sketch) outline() bool {
	fill := s.colour(s.a.dict.Get("IC"), filling)
	s.colour(s.a.dict.Get("C"), stroking)
	width := s.border()
	r := s.a.rect
	if rd := s.c.floats(s.a.dict.Get("RD")); len(rd) == 4 {
		r = r.Inset(rd[0], rd[1], rd[2], rd[3])
	}
	half := max(0, width) / 2
	r = r.Inset(half, half, half, half)
	if !fill && width <= 0 || r.X1 < r.X0 || r.Y1 < r.Y0 {
		return false
	}
	size := r.Size()
	if s.a.subtype == "Square" {
		s.add("re", r.X0, r.Y0, size.W, size.H)
	} else {
		s.addEllipse(r.Centre(), size.W/2, size.H/2)
		s.add("h")
	}
	switch {
	case fill && width > 0:
		s.add("B")
	case fill:
		s.add("f")
	default:
		s.add("S")
	}
	return true
}

// drawNote draws the sign of a note that is kept apart from the page: a slip of
// paper with lines on it, of the size that readers give it, below its upper left corner.
func (s *sketch) drawNote() bool {
	if !s.colour(s.a.dict.Get("C"), filling) {
		s.add("rg", 1, 1, 0)
	}
	x, y := s.a.rect.X0, s.a.rect.Y1
	s.add("w", 1)
	s.add("re B", x+1, y-17, 18, 14)
	for i := range 3 {
		s.add("m", x+4, y-6.5-3.5*float64(i))
		s.add("l S", x+16, y-6.5-3.5*float64(i))
	}
	return true
}

// Corners of a marked stretch of text, in the order in which programs write them, which is not the one
// that the standard names.
const (
	upperLeft = iota
	upperRight
	lowerLeft
	lowerRight
)

// quads are the marked stretches of text.
func (s *sketch) quads() [][4]geom.Point {
	var out [][4]geom.Point
	for p := s.c.points(s.a.dict.Get("QuadPoints")); len(p) >= 4; p = p[4:] {
		out = append(out, [4]geom.Point(p[:4]))
	}
	if out == nil {
		r := s.a.rect
		out = append(out, [4]geom.Point{{X: r.X0, Y: r.Y1}, {X: r.X1, Y: r.Y1}, {X: r.X0, Y: r.Y0}, {X: r.X1, Y: r.Y0}})
	}
	return out
}

func (s *sketch) highlight() bool {
	if !s.colour(s.a.dict.Get("C"), filling) {
		s.add("rg", 1, 1, 0)
	}
	for _, q := range s.quads() {
		s.addPath(q[upperLeft], q[upperRight], q[lowerRight], q[lowerLeft])
		s.add("h f")
	}
	return true
}

// costOfLines is what a byte of lines costs that are drawn where the source only says what kind they are of.
const costOfLines = 4

// textLines draws a line under or through stretches of text.
func (s *sketch) textLines() bool {
	if !s.colour(s.a.dict.Get("C"), stroking) {
		s.add("G", 0)
	}
	s.add("w", 1)
	for _, q := range s.quads() {
		before := len(s.operators)
		up := 0.5 // how far up from the lower edge, as a part of the height
		if s.a.subtype != "StrikeOut" {
			height := math.Hypot(q[upperLeft].X-q[lowerLeft].X, q[upperLeft].Y-q[lowerLeft].Y)
			up = min(1, 1/max(height, 1e-6))
		}
		from, to := between(q[lowerLeft], q[upperLeft], up), between(q[lowerRight], q[upperRight], up)
		line := []geom.Point{from}
		if s.a.subtype == "Squiggly" {
			const step = 2.0
			length := math.Hypot(to.X-from.X, to.Y-from.Y)
			across := geom.Point{X: -(to.Y - from.Y) / max(length, 1e-6), Y: (to.X - from.X) / max(length, 1e-6)}
			for i := 1; float64(i)*step < length && i < 10000; i++ {
				at, off := between(from, to, float64(i)*step/length), float64(i%2)*step
				line = append(line, geom.Point{X: at.X + across.X*off, Y: at.Y + across.Y*off})
			}
		}
		s.addPath(append(line, to)...)
		s.add("S")
		if s.c.src.Spend(int64(len(s.operators)-before)*costOfLines) != nil {
			return false
		}
	}
	return true
}

// between is the point at a part of the way from one point to another.
func between(from, to geom.Point, part float64) geom.Point {
	return geom.Point{X: from.X + (to.X-from.X)*part, Y: from.Y + (to.Y-from.Y)*part}
}

// strokes draws ink, lines and polygons.
func (s *sketch) strokes() bool {
	d := s.a.dict
	fill := s.a.subtype == "Polygon" && s.colour(d.Get("IC"), filling)
	s.colour(d.Get("C"), stroking)
	width := s.border()
	var paths cos.Array
	switch s.a.subtype {
	case "Ink":
		paths = s.c.src.Array(d.Get("InkList"))
		s.add("1 J 1 j")
	case "Line":
		paths = cos.Array{d.Get("L")}
	default:
		paths = cos.Array{d.Get("Vertices")}
	}
	drawn := false
	for _, o := range paths {
		p := s.c.points(o)
		if len(p) < 2 || width <= 0 && !fill {
			continue
		}
		s.addPath(p...)
		switch {
		case fill && width > 0:
			s.add("b")
		case fill:
			s.add("f")
		case s.a.subtype == "Polygon":
			s.add("s")
		default:
			s.add("S")
			s.drawArrows(p, width)
		}
		drawn = true
	}
	return drawn
}

// drawArrows draws the arrow heads that a line or polyline ends in.
func (s *sketch) drawArrows(p []geom.Point, width float64) {
	le := s.c.src.Array(s.a.dict.Get("LE"))
	if len(le) < 2 || s.a.subtype == "Ink" {
		return
	}
	last := len(p) - 1
	for i, end := range [2][2]geom.Point{{p[0], p[1]}, {p[last], p[last-1]}} {
		kind := s.c.src.Name(le[i])
		if !strings.HasSuffix(string(kind), "Arrow") {
			continue
		}
		tip := end[0]
		angle := math.Atan2(end[1].Y-tip.Y, end[1].X-tip.X)
		size := 9 * math.Max(width, 0.5)
		wing := func(turn float64) geom.Point {
			return geom.Point{X: tip.X + size*math.Cos(angle+turn), Y: tip.Y + size*math.Sin(angle+turn)}
		}
		s.addPath(wing(math.Pi/6), tip, wing(-math.Pi/6))
		if kind == "ClosedArrow" {
			s.add("s")
		} else {
			s.add("S")
		}
	}
}
