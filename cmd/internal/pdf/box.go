package pdf

import (
	"fmt"
	"math"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

const (
	pointsPerMM = 72 / 25.4
	mmPerPoint  = 25.4 / 72
)

// isEmpty tells whether a box, in points, has no extent or was rounded to nothing.
func isEmpty(b geom.Rect) bool {
	size := b.Size()
	return size.W < 0.01 || size.H < 0.01
}

func corners(b geom.Rect) cos.Array { return numbers(b.X0, b.Y0, b.X1, b.Y1) }

func numbers(v ...float64) cos.Array {
	a := make(cos.Array, len(v))
	for i := range v {
		a[i] = cos.Number(v[i])
	}
	return a
}

// readBox reads four numbers; ok is false for anything else.
func readBox(f *cos.File, o cos.Object) (b geom.Rect, ok bool) {
	a := f.Array(o)
	if len(a) < 4 {
		return b, false
	}
	var v [4]float64
	for i := range v {
		if v[i], ok = cos.Float(f.Resolve(a[i])); !ok || math.Abs(v[i]) > 1e7 {
			return b, false
		}
	}
	return geom.Rect{X0: v[0], Y0: v[1], X1: v[0], Y1: v[1]}.Around(geom.Rect{X0: v[2], Y0: v[3], X1: v[2], Y1: v[3]}), true
}

// frame is where a page lies in its default user space and how it is shown.
type frame struct {
	media, visible geom.Rect // in points
	quarters       int       // clockwise quarter turns for showing
	unit           float64   // points in one unit of user space
	repaired       string    // what was wrong with the boxes and what is shown instead
}

// letter is what readers take where there is no MediaBox, or one without extent.
var letter = geom.Rect{X1: 612, Y1: 792}

func (n node) frame(f *cos.File) (frame, error) {
	if n.dict == nil {
		return frame{}, ErrDamaged
	}
	fr := frame{media: letter, unit: 1}
	switch b, ok := readBox(f, n.media); {
	case ok && isEmpty(b):
		fr.repaired = "its page size (MediaBox) is empty; Letter is assumed, as in PDF viewers"
	case ok:
		fr.media = b
	default:
		fr.repaired = "it has no page size (MediaBox); Letter is assumed, as in PDF viewers"
	}
	fr.visible = fr.media
	if b, ok := readBox(f, n.crop); ok && !isEmpty(b) {
		fr.visible = b.Common(fr.media)
	}
	if isEmpty(fr.visible) {
		fr.visible = fr.media
		fr.repaired = "its CropBox lies outside its MediaBox; the whole MediaBox is shown"
	}
	fr.quarters = quarterTurns(f.Number(n.rotateObj, 0))
	if u := f.Number(n.dict.Get("UserUnit"), 1); u > 0 && u < 1e6 {
		fr.unit = u
	}
	return fr, nil
}

// quarterTurns is the nearest number of quarter turns, from 0 to 3, to an angle in degrees.
func quarterTurns(degrees float64) int {
	if math.Abs(degrees) > 1e9 {
		return 0
	}
	return (int(math.Round(degrees/90))%4 + 4) % 4
}

// upright maps default user space to the upright visible box, in points.
func (fr frame) upright() geom.Matrix {
	m := geom.Rotate(-fr.quarters)
	b := m.Bounds(fr.visible)
	return m.Then(geom.Translate(-b.X0, -b.Y0)).Then(geom.Enlarge(fr.unit))
}

// shown is a box in the frame of the upright visible box, in mm.
func (fr frame) shown(b geom.Rect) geom.Rect {
	return fr.upright().Then(geom.Enlarge(mmPerPoint)).Bounds(b)
}

// describe says what a user of the package has to know about a page.
func (n node) describe(f *cos.File, number int) Page {
	fr, err := n.frame(f)
	if err != nil {
		return Page{Number: number, Problem: err}
	}
	if fr.repaired != "" {
		f.Warn(fmt.Sprintf("page %d: %s", number, fr.repaired))
	}
	other := func(key cos.Name) geom.Rect {
		b, ok := readBox(f, n.dict.Get(key))
		if b = b.Common(fr.media); !ok || isEmpty(b) {
			b = fr.visible
		}
		return fr.shown(b)
	}
	return Page{
		Number: number, Size: fr.shown(fr.visible).Size(), Media: fr.shown(fr.media),
		Trim: other("TrimBox"), Bleed: other("BleedBox"), Art: other("ArtBox"),
	}
}
