package pdf

import (
	"cmp"
	"strings"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// option is one that a choice field offers: what is exported and what is shown.
type option struct{ value, shown string }

func (c *copier) options(d *cos.Dict) []option {
	var out []option
	for _, o := range c.src.Array(c.inherited(d, "Opt")) {
		value, shown := o, o
		if pair := c.src.Array(o); len(pair) > 1 {
			value, shown = pair[0], pair[1]
		}
		out = append(out, option{c.fieldText(value), c.fieldText(shown)})
	}
	return out
}

// selectedValues are the values that a choice field has.
func (c *copier) selectedValues(d *cos.Dict) (out []string) {
	for _, o := range c.src.List(c.inherited(d, "V")) {
		out = append(out, c.fieldText(o))
	}
	return out
}

// chosenText is the text of a choice field: the selected options as they are shown.
func (c *copier) chosenText(d *cos.Dict) string {
	out := c.selectedValues(d)
	shown := map[string]string{}
	for _, o := range c.options(d) {
		if _, twice := shown[o.value]; !twice {
			shown[o.value] = o.shown
		}
	}
	for i, v := range out {
		if s, ok := shown[v]; ok {
			out[i] = s
		}
	}
	return strings.Join(out, ", ")
}

// drawList draws a list box: its options from the first one that shows (TI), the
// selectedValues ones on grey (ISO 32000-1, 12.7.4.4).
func (s *sketch) drawList() bool {
	size := cmp.Or(s.size, 12)
	leading := 1.15 * size
	options, selected := s.c.options(s.a.dict), map[string]bool{}
	for _, v := range s.c.selectedValues(s.a.dict) {
		selected[v] = true
	}
	first := int(s.c.inheritedNumber(s.a.dict, "TI"))
	if first > 0 && first < len(options) {
		options = options[first:]
	}
	return s.inside(func(border float64) bool {
		y := s.extent.H - 2*border
		for _, o := range options {
			text, ok := s.encode(o.shown)
			if !ok {
				return false
			}
			if y -= leading; y < -leading {
				break
			}
			if selected[o.value] {
				s.add("q")
				s.add("g", 0.75)
				s.add("re f Q", 0, y, s.extent.W, leading)
			}
			s.show(2*border+1, y+0.25*size, size, text)
		}
		return true
	})
}

// disc is the sign of a radio button, in ZapfDingbats.
const disc = "l"

// button draws a button that has no appearance for its state: its frame, round
// for a radio button whose sign is a disc, and a push button's caption or, if it is on, its
// sign (ISO 32000-1, table 189, CA).
func (s *sketch) button(flags int64) bool {
	sign := s.c.fieldText(s.c.src.Dict(s.a.dict.Get("MK")).Get("CA"))
	if flags&fieldPush != 0 {
		return s.value(fieldPush, sign)
	}
	if flags&fieldRadio != 0 && (sign == "" || sign == disc) {
		s.decorate(s.circle)
	} else {
		s.decorate(s.drawRectangle)
	}
	s.letters = letters{colour: s.letters.colour, name: "Signs", font: standardFont("ZapfDingbats", nil)}
	state, ok := s.c.src.Resolve(s.a.dict.Get("AS")).(cos.Name)
	if !ok {
		// Of several buttons of one field the value tells the state of one, and not of which.
		state = s.c.src.Name(s.a.dict.Get("V"))
	}
	if state == "" || state == "Off" {
		return true
	}
	switch {
	case sign == "" && flags&fieldRadio != 0:
		sign = disc
	case sign == "":
		sign = "4" // a tick
	}
	size := 0.8 * min(s.extent.W, s.extent.H)
	// The signs in use are 0.75 em wide and stand 0.35 em above the baseline with their middle.
	s.show(s.extent.W/2-0.375*size, s.extent.H/2-0.35*size, size, []byte(sign[:1]))
	return true
}

// decorate draws a field's background and border, of a shape that is painted some way within its
// edges, and returns the border's width.
func (s *sketch) decorate(shape func(inset float64, paint string)) float64 {
	mk := s.c.src.Dict(s.a.dict.Get("MK"))
	s.add("q")
	if s.colour(mk.Get("BG"), filling) {
		shape(0, "f")
	}
	width := s.border()
	if s.colour(mk.Get("BC"), stroking) && width > 0 {
		shape(width/2, "S")
	}
	s.add("Q")
	return max(0, width)
}

func (s *sketch) drawRectangle(inset float64, paint string) {
	s.add("re "+paint, inset, inset, s.extent.W-2*inset, s.extent.H-2*inset)
}

func (s *sketch) circle(inset float64, paint string) {
	radius := min(s.extent.W, s.extent.H)/2 - inset
	s.addEllipse(geom.Point{X: s.extent.W / 2, Y: s.extent.H / 2}, radius, radius)
	s.add("h")
	s.add(paint)
}

// inside draws a field's frame and, within its border, the text that it shows.
func (s *sketch) inside(draw func(border float64) bool) bool {
	border := s.decorate(s.drawRectangle)
	s.add("/Tx BMC q")
	s.add("re W n", border, border, max(0, s.extent.W-2*border), max(0, s.extent.H-2*border))
	ok := draw(border)
	s.add("Q EMC")
	return ok
}
