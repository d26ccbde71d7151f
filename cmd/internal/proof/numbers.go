package proof

import (
	"context"
	"fmt"
	"math"
	"slices"

	"foldwright/cmd/internal/render"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// A running number is set in 9 pt, its base line 9 mm above the tail; an outer one ends 12 mm from the fore-edge. It keeps
// 1 mm further from the paper's edge than the printer reaches.
const (
	numberType     = 3.2
	numberFoot     = 9.0
	numberForeEdge = 12.0
	numberClear    = 1.0
	numberFigure   = 0.556 // of the type's size: the width of a figure (Adobe's published metrics of Helvetica)
	numberWanders  = 0.3   // mm that it may stand elsewhere
)

// numberOf is the running number of a page at a place of the book, counted from 0; empty if it bears none.
func (c *checker) numberOf(source, place int) string {
	o := c.plan.Options
	files := max(o.Blank, len(c.source.Given().Pages()))
	if o.Numbers == 0 || source == 0 || source > files {
		return ""
	}
	for _, r := range o.NumbersSkip {
		if source >= r.First && (r.Last == 0 || source <= r.Last) {
			return ""
		}
	}
	return fmt.Sprint(o.NumbersFrom + place)
}

// numberAt is where the number's base line begins on the page as it is read, and how wide it is.
func (c *checker) numberAt(e *expectation) (at geom.Point, width float64) {
	o := c.plan.Options
	left := e.Size.Rect()
	if c.placing.trim != (trim{}) {
		left = c.placing.rectLeft(e.Place)
	}
	clear := 0.0
	if k := o.KeepClear; k.Given {
		clear = max(float64(k.Head), float64(k.Tail), float64(k.Left), float64(k.Right))
	}
	width = numberType * numberFigure * float64(len(e.number))
	at = geom.Point{X: left.Centre().X - width/2, Y: max(left.Y0+numberFoot, clear+numberClear)}
	if o.Numbers == reorder.NumbersOuter {
		fromEdge := e.Size.W - clear - numberClear
		if spine(o.Bind, e.Recto) == geom.Left {
			at.X = min(left.X1-numberForeEdge, fromEdge) - width
		} else {
			at.X = max(left.X0+numberForeEdge, e.Size.W-fromEdge)
		}
	}
	return at, width
}

// numberRect is the part of the page as it is read in which the number stands.
func (c *checker) numberRect(e *expectation) geom.Rect {
	at, width := c.numberAt(e)
	return geom.Rect{X0: at.X, Y0: at.Y, X1: at.X + width, Y1: at.Y + numberType*0.75}.Inset(-numberWanders, -numberWanders, -numberWanders, -numberWanders)
}

// checkNumber looks whether a place bears its number, upright where it should stand.
func (c *checker) checkNumber(ctx context.Context, u *unit, e *expectation) error {
	words, err := c.files[u.file].Words(ctx, u.page)
	if err != nil {
		return err
	}
	at, _ := c.numberAt(e)
	back := inverse(e.printed)
	stands := slices.ContainsFunc(words, func(w render.Word) bool {
		sin, cos := math.Sincos(w.Angle * math.Pi / 180)
		along := back.Direction(geom.Point{X: cos, Y: sin}).Unit()
		return w.Text == e.number && along.X > 0.999 && back.Apply(w.Origin).Minus(at).Length() <= numberWanders
	})
	if !stands {
		c.report(e, Differs, "its running number %s does not stand at its foot", e.number)
	}
	return nil
}
