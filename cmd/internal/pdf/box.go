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

// box is a rectangle in a page's default user space, corners in order.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) width() float64  { return b.x1 - b.x0 }
func (b box) height() float64 { return b.y1 - b.y0 }

// empty leaves room for boxes that were rounded to nothing.
func (b box) empty() bool { return b.width() < 0.01 || b.height() < 0.01 }

func (b box) cut(to box) box {
	return box{math.Max(b.x0, to.x0), math.Max(b.y0, to.y0), math.Min(b.x1, to.x1), math.Min(b.y1, to.y1)}
}

func (b box) array() cos.Array {
	return cos.Array{cos.Number(b.x0), cos.Number(b.y0), cos.Number(b.x1), cos.Number(b.y1)}
}

// readBox reads four numbers; ok is false for anything else.
func readBox(f *cos.File, o cos.Object) (b box, ok bool) {
	a, _ := f.Resolve(o).(cos.Array)
	if len(a) < 4 {
		return box{}, false
	}
	var v [4]float64
	for i := range v {
		n, ok := cos.Float(f.Resolve(a[i]))
		if !ok || math.Abs(n) > 1e7 {
			return box{}, false
		}
		v[i] = n
	}
	return box{math.Min(v[0], v[2]), math.Min(v[1], v[3]), math.Max(v[0], v[2]), math.Max(v[1], v[3])}, true
}

// frame is where a page lies in its default user space and how it is shown.
type frame struct {
	media, visible box
	quarters       int     // clockwise quarter turns for showing
	unit           float64 // points in one unit of user space
	repaired       string  // what was wrong with the boxes and what is shown instead
}

// letter is what readers take where there is no MediaBox, or one without extent.
var letter = box{0, 0, 612, 792}

func (n node) frame(f *cos.File) (frame, error) {
	if n.dict == nil {
		return frame{}, ErrDamaged
	}
	fr := frame{media: letter, unit: 1}
	switch b, ok := readBox(f, n.media); {
	case ok && b.empty():
		fr.repaired = "its MediaBox has no extent; a letter page is taken, as viewers do"
	case ok:
		fr.media = b
	default:
		fr.repaired = "it has no MediaBox; a letter page is taken, as viewers do"
	}
	fr.visible = fr.media
	if b, ok := readBox(f, n.crop); ok && !b.empty() {
		fr.visible = b.cut(fr.media)
	}
	if fr.visible.empty() {
		fr.visible = fr.media
		fr.repaired = "its CropBox lies outside its MediaBox; the MediaBox is shown"
	}
	if turn, ok := cos.Float(f.Resolve(n.rotateObj)); ok && math.Abs(turn) < 1e9 {
		fr.quarters = (int(math.Round(turn/90))%4 + 4) % 4
	}
	if u, ok := cos.Float(f.Resolve(n.dict.Get("UserUnit"))); ok && u > 0 && u < 1e6 {
		fr.unit = u
	}
	return fr, nil
}

// upright maps default user space to the upright visible box, in points.
func (fr frame) upright() geom.Matrix {
	v, u := fr.visible, fr.unit
	var m geom.Matrix
	switch fr.quarters {
	case 0:
		m = geom.Matrix{1, 0, 0, 1, -v.x0, -v.y0}
	case 1:
		m = geom.Matrix{0, -1, 1, 0, -v.y0, v.x1}
	case 2:
		m = geom.Matrix{-1, 0, 0, -1, v.x1, v.y1}
	case 3:
		m = geom.Matrix{0, 1, -1, 0, v.y1, -v.x0}
	}
	return m.Then(geom.Enlarge(u))
}

// shown is a box in the frame of the upright visible box, in mm.
func (fr frame) shown(b box) geom.Rect {
	return fr.upright().Then(geom.Enlarge(mmPerPoint)).Bounds(geom.Rect{X0: b.x0, Y0: b.y0, X1: b.x1, Y1: b.y1})
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
		if b = b.cut(fr.media); !ok || b.empty() {
			b = fr.visible
		}
		return fr.shown(b)
	}
	return Page{
		Number: number, Size: fr.shown(fr.visible).Size(), Media: fr.shown(fr.media),
		Trim: other("TrimBox"), Bleed: other("BleedBox"), Art: other("ArtBox"),
	}
}
