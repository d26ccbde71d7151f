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

// sketch collects the content of an appearance that is made here.
type sketch struct{ ops []byte }

func (s *sketch) op(name string, v ...float64) {
	for _, n := range v {
		s.ops = append(appendNumber(s.ops, n, 4), ' ')
	}
	s.ops = append(append(s.ops, name...), '\n')
}

// shape draws an annotation that has no appearance stream, as readers do for
// those whose looks follow from their entries (ISO 32000-1, 12.5.6).
func (c *copier) shape(a annotation) (mark, bool) {
	s := &sketch{}
	s.op("/GS gs")
	blend := cos.Name("Normal")
	ok := false
	switch a.subtype {
	case "Square", "Circle":
		ok = c.outline(s, a)
	case "Highlight":
		blend = "Multiply"
		ok = c.highlight(s, a)
	case "Underline", "StrikeOut", "Squiggly":
		ok = c.textLines(s, a)
	case "Ink", "Line", "Polygon", "PolyLine":
		ok = c.strokes(s, a)
	case "Text":
		ok = c.note(s, a)
	case "FreeText":
		return c.freeText(a)
	}
	if !ok {
		return mark{}, false
	}
	opacity := 1.0
	if v, ok := cos.Float(c.src.Resolve(a.dict.Get("CA"))); ok && v >= 0 && v <= 1 {
		opacity = v
	}
	state := cos.NewDict(cos.Name("CA"), cos.Number(opacity), cos.Name("ca"), cos.Number(opacity), cos.Name("BM"), blend)
	resources := cos.NewDict(cos.Name("ExtGState"), cos.NewDict(cos.Name("GS"), state))
	// Lines may reach beyond the rectangle by their width; pictures of the same file show them whole.
	limit := a.rect
	if slices.Contains(textMarks, a.subtype) { // some programs keep only the marked stretches up to date
		for _, q := range c.quads(a) {
			for i := 0; i < len(q); i += 2 {
				limit = box{min(limit.x0, q[i]), min(limit.y0, q[i+1]), max(limit.x1, q[i]), max(limit.y1, q[i+1])}
			}
		}
	}
	limit = box{limit.x0 - 20, limit.y0 - 20, limit.x1 + 20, limit.y1 + 20}
	return c.sketched(s, limit, resources, geom.Identity)
}

// sketched writes a sketch as a form.
func (c *copier) sketched(s *sketch, bbox box, resources *cos.Dict, m geom.Matrix) (mark, bool) {
	d := cos.NewDict(cos.Name("Type"), cos.Name("XObject"), cos.Name("Subtype"), cos.Name("Form"),
		cos.Name("BBox"), bbox.array(), cos.Name("Resources"), resources)
	n := c.w.Reserve()
	if err := c.w.PutStream(n, d, nil, cos.NewStream(d, s.ops), c.number); err != nil {
		return mark{}, false
	}
	return mark{n, m}, true
}

// colour writes the operator for a colour array; none is written for an empty one.
func (c *copier) colour(s *sketch, o cos.Object, operators [3]string) bool {
	v := c.floats(o)
	switch len(v) {
	case 1:
		s.op(operators[0], v...)
	case 3:
		s.op(operators[1], v...)
	case 4:
		s.op(operators[2], v...)
	default:
		return false
	}
	return true
}

var (
	stroking = [3]string{"G", "RG", "K"}
	filling  = [3]string{"g", "rg", "k"}
)

// floats are the numbers of an array; nil if one isn't a number.
func (c *copier) floats(o cos.Object) []float64 {
	a, _ := c.src.Resolve(o).(cos.Array)
	var out []float64
	for _, e := range a {
		v, ok := cos.Float(c.src.Resolve(e))
		if !ok {
			return nil
		}
		out = append(out, v)
	}
	return out
}

// border sets width and dashes of an annotation's lines and returns the width.
func (c *copier) border(s *sketch, d *cos.Dict) float64 {
	width := 1.0
	var dash []float64
	if b, ok := c.src.Resolve(d.Get("Border")).(cos.Array); ok && len(b) > 2 {
		if v, ok := cos.Float(c.src.Resolve(b[2])); ok {
			width = v
		}
		if len(b) > 3 {
			dash = c.floats(b[3])
		}
	}
	if bs, ok := c.src.Resolve(d.Get("BS")).(*cos.Dict); ok {
		if v, ok := cos.Float(c.src.Resolve(bs.Get("W"))); ok {
			width = v
		}
		if c.src.Resolve(bs.Get("S")) == cos.Name("D") {
			if dash = c.floats(bs.Get("D")); dash == nil {
				dash = []float64{3}
			}
		}
	}
	s.op("w", width)
	if len(dash) > 0 {
		s.ops = append(s.ops, '[')
		s.op("] 0 d", dash...)
	}
	return width
}

// outline draws a rectangle or an ellipse within the annotation's rectangle.
func (c *copier) outline(s *sketch, a annotation) bool {
	fill := c.colour(s, a.dict.Get("IC"), filling)
	c.colour(s, a.dict.Get("C"), stroking)
	width := c.border(s, a.dict)
	r := a.rect
	if rd := c.floats(a.dict.Get("RD")); len(rd) == 4 {
		r = box{r.x0 + rd[0], r.y0 + rd[1], r.x1 - rd[2], r.y1 - rd[3]}
	}
	half := max(0, width) / 2
	r = box{r.x0 + half, r.y0 + half, r.x1 - half, r.y1 - half}
	if !fill && width <= 0 || r.x1 < r.x0 || r.y1 < r.y0 {
		return false
	}
	if a.subtype == "Square" {
		s.op("re", r.x0, r.y0, r.width(), r.height())
	} else {
		s.ellipse(r)
	}
	switch {
	case fill && width > 0:
		s.op("B")
	case fill:
		s.op("f")
	default:
		s.op("S")
	}
	return true
}

// note draws the sign of a note that is kept apart from the page: a slip of
// paper with lines on it, of the size that readers give it, below its upper left corner.
func (c *copier) note(s *sketch, a annotation) bool {
	if !c.colour(s, a.dict.Get("C"), filling) {
		s.op("rg", 1, 1, 0)
	}
	x, y := a.rect.x0, a.rect.y1
	s.op("w", 1)
	s.op("re B", x+1, y-17, 18, 14)
	for i := range 3 {
		s.op("m", x+4, y-6.5-3.5*float64(i))
		s.op("l S", x+16, y-6.5-3.5*float64(i))
	}
	return true
}

func (s *sketch) ellipse(r box) {
	const k = 0.5522847498
	x, y := (r.x0+r.x1)/2, (r.y0+r.y1)/2
	kx, ky := k*r.width()/2, k*r.height()/2
	s.op("m", r.x1, y)
	s.op("c", r.x1, y+ky, x+kx, r.y1, x, r.y1)
	s.op("c", x-kx, r.y1, r.x0, y+ky, r.x0, y)
	s.op("c", r.x0, y-ky, x-kx, r.y0, x, r.y0)
	s.op("c", x+kx, r.y0, r.x1, y-ky, r.x1, y)
	s.op("h")
}

// quads are the marked stretches of text: upper left, upper right, lower left, lower right, the order in which
// programs write them, not the one that the standard names.
func (c *copier) quads(a annotation) [][8]float64 {
	v := c.floats(a.dict.Get("QuadPoints"))
	var out [][8]float64
	for ; len(v) >= 8; v = v[8:] {
		out = append(out, [8]float64(v[:8]))
	}
	if out == nil {
		r := a.rect
		out = append(out, [8]float64{r.x0, r.y1, r.x1, r.y1, r.x0, r.y0, r.x1, r.y0})
	}
	return out
}

func (c *copier) highlight(s *sketch, a annotation) bool {
	if !c.colour(s, a.dict.Get("C"), filling) {
		s.op("rg", 1, 1, 0)
	}
	for _, q := range c.quads(a) {
		s.op("m", q[0], q[1])
		s.op("l", q[2], q[3])
		s.op("l", q[6], q[7])
		s.op("l", q[4], q[5])
		s.op("h f")
	}
	return true
}

// costOfLines is what a byte of lines costs that are drawn where the source only says what kind they are of.
const costOfLines = 4

// textLines draws a line under or through stretches of text.
func (c *copier) textLines(s *sketch, a annotation) bool {
	if !c.colour(s, a.dict.Get("C"), stroking) {
		s.op("G", 0)
	}
	s.op("w", 1)
	for _, q := range c.quads(a) {
		up := 0.5 // how far up from the lower edge, as a part of the height
		before := len(s.ops)
		height := math.Hypot(q[0]-q[4], q[1]-q[5])
		if a.subtype != "StrikeOut" {
			up = min(1, 1/max(height, 1e-6))
		}
		x0, y0 := q[4]+(q[0]-q[4])*up, q[5]+(q[1]-q[5])*up
		x1, y1 := q[6]+(q[2]-q[6])*up, q[7]+(q[3]-q[7])*up
		s.op("m", x0, y0)
		if a.subtype == "Squiggly" {
			const step = 2.0
			length := math.Hypot(x1-x0, y1-y0)
			nx, ny := -(y1-y0)/max(length, 1e-6), (x1-x0)/max(length, 1e-6)
			for i := 1; float64(i)*step < length && i < 10000; i++ {
				t, off := float64(i)*step/length, float64(i%2)*step
				s.op("l", x0+(x1-x0)*t+nx*off, y0+(y1-y0)*t+ny*off)
			}
		}
		s.op("l", x1, y1)
		s.op("S")
		if c.src.Spend(int64(len(s.ops)-before)*costOfLines) != nil {
			return false
		}
	}
	return true
}

// strokes draws ink, lines and polygons.
func (c *copier) strokes(s *sketch, a annotation) bool {
	fill := a.subtype == "Polygon" && c.colour(s, a.dict.Get("IC"), filling)
	c.colour(s, a.dict.Get("C"), stroking)
	width := c.border(s, a.dict)
	var paths [][]float64
	switch a.subtype {
	case "Ink":
		list, _ := c.src.Resolve(a.dict.Get("InkList")).(cos.Array)
		for _, o := range list {
			paths = append(paths, c.floats(o))
		}
		s.op("1 J 1 j")
	case "Line":
		paths = append(paths, c.floats(a.dict.Get("L")))
	default:
		paths = append(paths, c.floats(a.dict.Get("Vertices")))
	}
	drawn := false
	for _, p := range paths {
		if len(p) < 4 || width <= 0 && !fill {
			continue
		}
		for i := 0; i+1 < len(p); i += 2 {
			if i == 0 {
				s.op("m", p[0], p[1])
			} else {
				s.op("l", p[i], p[i+1])
			}
		}
		switch {
		case fill && width > 0:
			s.op("b")
		case fill:
			s.op("f")
		case a.subtype == "Polygon":
			s.op("s")
		default:
			s.op("S")
			c.arrows(s, a, p, width)
		}
		drawn = true
	}
	return drawn
}

// arrows draws the arrow heads that a line or polyline ends in.
func (c *copier) arrows(s *sketch, a annotation, p []float64, width float64) {
	le, _ := c.src.Resolve(a.dict.Get("LE")).(cos.Array)
	if len(le) < 2 || a.subtype == "Ink" {
		return
	}
	n := len(p) &^ 1
	ends := [2][4]float64{{p[0], p[1], p[2], p[3]}, {p[n-2], p[n-1], p[n-4], p[n-3]}}
	for i, e := range ends {
		kind, _ := c.src.Resolve(le[i]).(cos.Name)
		if !strings.HasSuffix(string(kind), "Arrow") {
			continue
		}
		angle := math.Atan2(e[3]-e[1], e[2]-e[0])
		size := 9 * math.Max(width, 0.5)
		for j, turn := range []float64{math.Pi / 6, 0, -math.Pi / 6} {
			x, y := e[0]+size*math.Cos(angle+turn), e[1]+size*math.Sin(angle+turn)
			if j == 1 {
				x, y = e[0], e[1]
			}
			if j == 0 {
				s.op("m", x, y)
			} else {
				s.op("l", x, y)
			}
		}
		if kind == "ClosedArrow" {
			s.op("s")
		} else {
			s.op("S")
		}
	}
}
