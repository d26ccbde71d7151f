package pdf

import (
	"foldwright/cmd/internal/pdf/cos"
)

// disc is the sign of a radio button, in ZapfDingbats.
const disc = "l"

// button draws a button that has no appearance for its state: its frame, round
// for a radio button whose sign is a disc, and a push button's caption or, if it is on, its
// sign (ISO 32000-1, table 189, CA).
func (c *copier) button(s *sketch, a annotation, extent box, flags int64) (letters, bool) {
	mk, _ := c.src.Resolve(a.dict.Get("MK")).(*cos.Dict)
	sign := c.fieldText(mk.Get("CA"))
	if flags&fieldPush != 0 {
		return c.value(s, a, extent, fieldPush, sign)
	}
	if flags&fieldRadio != 0 && (sign == "" || sign == disc) {
		c.roundFrame(s, a.dict, mk, extent)
	} else {
		c.decorate(s, a.dict, extent)
	}
	state, ok := c.src.Resolve(a.dict.Get("AS")).(cos.Name)
	if !ok {
		// Of several buttons of one field the value tells the state of one, and not of which.
		state, _ = c.src.Resolve(a.dict.Get("V")).(cos.Name)
	}
	l := dingbats(c.letters(a.dict))
	if state == "" || state == "Off" {
		return l, true
	}
	switch {
	case sign == "" && flags&fieldRadio != 0:
		sign = disc
	case sign == "":
		sign = "4" // a tick
	}
	size := 0.8 * min(extent.width(), extent.height())
	// The signs in use are 0.75 em wide and stand 0.35 em above the baseline with their middle.
	l.show(s, extent.width()/2-0.375*size, extent.height()/2-0.35*size, size, []byte(sign[:1]))
	return l, true
}

// dingbats is the font of the signs, in the colour of the field's letters.
func dingbats(l letters) letters {
	font := cos.NewDict(cos.Name("Type"), cos.Name("Font"), cos.Name("Subtype"), cos.Name("Type1"), cos.Name("BaseFont"), cos.Name("ZapfDingbats"))
	return letters{colour: l.colour, name: "Signs", font: font, dict: font}
}

func (c *copier) roundFrame(s *sketch, d, mk *cos.Dict, r box) {
	s.op("q")
	side := min(r.width(), r.height())
	around := func(inset float64) box {
		x, y, half := r.width()/2, r.height()/2, side/2-inset
		return box{x - half, y - half, x + half, y + half}
	}
	if c.colour(s, mk.Get("BG"), filling) {
		s.ellipse(around(0))
		s.op("f")
	}
	width := c.border(s, d)
	if c.colour(s, mk.Get("BC"), stroking) && width > 0 {
		s.ellipse(around(width / 2))
		s.op("S")
	}
	s.op("Q")
}
