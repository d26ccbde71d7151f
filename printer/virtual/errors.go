package virtual

import (
	"math"

	"foldwright/reorder"
)

// Errors are how far a printer's images lie from where they should. All are
// those of the machine: they hold in the frame of the image as it is printed,
// that is, for one who looks at the face being printed with the edge that
// goes in first away from him. The zero value is a printer without errors.
type Errors struct {
	// Shift moves every image, in mm.
	Shift reorder.Point
	// Second moves an image besides if the sheet carries a print already: the
	// stack lies a little otherwise in the tray the second time.
	Second reorder.Point
	// Stretch and SecondStretch are how much too large images are, as a part
	// of their size: 0.01 is one percent. Paper dries and shrinks between its
	// two trips, so the second image differs.
	Stretch, SecondStretch reorder.Point
	// SecondAskew turns the second image about the sheet's centre, in radians
	// against the clock.
	SecondAskew float64
	// Wander moves the second image of each sheet anew, in mm; nil is a
	// printer that does not wander.
	Wander func() reorder.Point
}

// lie is how an image lies on its face: stretched about the sheet's centre,
// turned, and shifted. The zero value is an image that lies as it should.
type lie struct {
	stretch, shift reorder.Point
	askew          float64
}

// WithErrors is the same printer with errors.
func (p Printer[I]) WithErrors(e Errors) *Printer[I] {
	p.errors = e
	return &p
}

// of is how the next image lies on a sheet with so many prints.
func (e Errors) of(prints int) lie {
	if prints == 0 {
		return lie{stretch: e.Stretch, shift: e.Shift}
	}
	out := lie{stretch: e.SecondStretch, askew: e.SecondAskew}
	out.shift.X = e.Shift.X + e.Second.X
	out.shift.Y = e.Shift.Y + e.Second.Y
	if e.Wander != nil {
		by := e.Wander()
		out.shift.X += by.X
		out.shift.Y += by.Y
	}
	return out
}

// place carries a point of the image to where it comes to lie, both in the
// image's own frame.
func (l lie) place(p reorder.Point, image reorder.Size) reorder.Point {
	if l == (lie{}) {
		return p // to the last bit
	}
	x := (p.X - image.W/2) * (1 + l.stretch.X)
	y := (p.Y - image.H/2) * (1 + l.stretch.Y)
	sin, cos := math.Sincos(l.askew)
	return reorder.Point{
		X: image.W/2 + x*cos - y*sin + l.shift.X,
		Y: image.H/2 + x*sin + y*cos + l.shift.Y,
	}
}
