package cover

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"slices"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

var (
	a3 = geom.Size{W: 297, H: 420}
	a4 = geom.Size{W: 210, H: 297}
	a5 = geom.Size{W: 148, H: 210}
)

// on is paper whose printer does what it is told.
func on(paper geom.Size) Sheet { return Sheet{paper, 5, geom.Identity, geom.Identity} }

// written writes a cover as a print file and opens it as a printer would.
func written(t *testing.T, w Work, s Sheet) (Drawn, *render.Document) {
	t.Helper()
	drawn, err := w.Draw(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := pdf.Write(t.Context(), &b, pdf.PrintFile{Paper: s.Paper, Sides: drawn.Sides}); err != nil {
		t.Fatal(err)
	}
	return drawn, rendertest.OpenBytes(t, "cover.pdf", b.Bytes())
}

// seen is a page as it is read: a picture with so many pixels to the mm, its lower left pixel at 0, 0.
type seen struct {
	*image.Gray
	mm   float64 // pixels
	turn bool
	wide int // of the paper
}

func look(t *testing.T, doc *render.Document, page int, l Layout, mm float64) seen {
	t.Helper()
	picture, err := doc.Gray(t.Context(), page, mm*geom.Inch)
	if err != nil {
		t.Fatal(err)
	}
	return seen{picture, mm, l.Turned, picture.Rect.Dx()}
}

// dark is how dark a pixel is, 255 black, by its column from the left and its row from below. What was turned
// counter-clockwise onto the paper is turned back.
func (s seen) dark(x, y int) float64 {
	if s.turn {
		x, y = s.wide-1-y, x
	}
	return 255 - float64(s.GrayAt(x, s.Rect.Dy()-1-y).Y)
}

// crossings is where lines cross a level between two places, in mm: the middles of what is dark. Upright, the level is that
// of a column.
func (s seen) crossings(level, from, to float64, upright bool) (out []float64) {
	sum, weight := 0.0, 0.0
	for i := int(math.Ceil(from * s.mm)); i <= int(to*s.mm); i++ {
		x, y := i, int(level*s.mm)
		if upright {
			x, y = y, i
		}
		if dark := s.dark(x, y); dark > 40 {
			sum += dark * (float64(i) + 0.5)
			weight += dark
			continue
		}
		if weight > 0 {
			out = append(out, sum/weight/s.mm)
		}
		sum, weight = 0, 0
	}
	return out
}

// marks is crossings from edge to edge of a piece, without the points of its seams and their letters.
func (s seen) marks(level, from, to float64, seamAtFrom, seamAtTo, upright bool) []float64 {
	const point = 6.5
	return slices.DeleteFunc(s.crossings(level, from-2, to+2, upright), func(at float64) bool {
		return seamAtFrom && at > from+0.3 && at < from+point || seamAtTo && at < to-0.3 && at > to-point
	})
}

func exactly(t *testing.T, what string, got, want []float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: marks at %.2f, want %.2f", what, got, want)
		return
	}
	for i := range want {
		if math.Abs(got[i]-want[i]) > 0.1 {
			t.Errorf("%s: a mark at %.3f mm, want %.3f", what, got[i], want[i])
		}
	}
}

// job is a cover to be tried.
type job struct {
	kind  Kind
	leaf  geom.Size
	bind  reorder.Bind
	paper geom.Size
}

func (j job) String() string {
	return fmt.Sprintf("%s of %s on %s, spine at the %s", j.kind, j.leaf, j.paper, j.bind)
}

func (j job) work(t *testing.T) Work {
	t.Helper()
	f, err := Lay(j.kind, bench(t, "case", j.leaf, j.bind, measured), Sizes{})
	if err != nil {
		t.Fatal(err)
	}
	return Work{Flat: f, Name: "larkhaven.pdf", Units: binding.MM, Bleed: 3}
}

func jobs() (out []job) {
	for _, kind := range []Kind{Card, Case, Jacket, Label} {
		for _, leaf := range leaves {
			for _, bind := range binds {
				for _, paper := range []geom.Size{a3, a4, a5, {W: 215.9, H: 279.4}} {
					out = append(out, job{kind, leaf, bind, paper})
				}
			}
		}
	}
	return out
}

// Read back from what a printer would be sent, every mark to cut, fold and join stands within 0.1 mm of where the figures
// say, there are no others, and nothing stands within the cover. The rule is 100 mm long.
func TestMarksStandWhereTheFiguresSay(t *testing.T) {
	for _, j := range sample.Of(t, jobs(), 1, 17, 29) {
		w := j.work(t)
		drawn, doc := written(t, w, on(j.paper))
		l := drawn.Layout
		for number, pieces := range l.Pages {
			picture := look(t, doc, number+1, l, 12)
			for _, p := range pieces[:1] {
				checkMarks(t, fmt.Sprintf("%s, part %d", j, number+1), picture, w.Flat, l, p)
			}
			checkRule(t, j.String(), picture, l)
		}
	}
}

func checkMarks(t *testing.T, name string, picture seen, f Flat, l Layout, p Piece) {
	t.Helper()
	a := p.Area.Moved(p.At.X, p.At.Y)
	within := func(places []float64, from, to, by float64) []float64 {
		out := []float64{from + by}
		for _, at := range places {
			if at > from && at < to {
				out = append(out, at+by)
			}
		}
		return append(out, to+by)
	}
	xs, ys := within(f.Folds(), p.Area.X0, p.Area.X1, p.At.X), within(f.Rows(), p.Area.Y0, p.Area.Y1, p.At.Y)
	const out = 3 + markGap + 0.4 // into the first dash of a broken mark, beside the points of seams
	if !p.Joins.Above && f.Kind != Label {
		exactly(t, name+", above", picture.marks(a.Y1+out, a.X0, a.X1, p.Joins.Left, p.Joins.Right, false), xs)
	}
	if !p.Joins.Below {
		exactly(t, name+", below", picture.marks(a.Y0-out, a.X0, a.X1, p.Joins.Left, p.Joins.Right, false), xs)
	}
	if !p.Joins.Left {
		exactly(t, name+", left", picture.marks(a.X0-out, a.Y0, a.Y1, p.Joins.Below, p.Joins.Above, true), ys)
	}
	if !p.Joins.Right && f.Kind != Label {
		exactly(t, name+", right", picture.marks(a.X1+out, a.Y0, a.Y1, p.Joins.Below, p.Joins.Above, true), ys)
	}
	for y := int((a.Y0 + 0.2) * picture.mm); y < int((a.Y1-0.2)*picture.mm); y++ {
		for x := int((a.X0 + 0.2) * picture.mm); x < int((a.X1-0.2)*picture.mm); x++ {
			if picture.dark(x, y) > 40 {
				t.Errorf("%s: a mark within the cover, at %.1f, %.1f mm of the page", name, float64(x)/picture.mm, float64(y)/picture.mm)
				return
			}
		}
	}
}

func checkRule(t *testing.T, name string, picture seen, l Layout) {
	t.Helper()
	level, from := 5+4+1.0, 5.0
	ticks := picture.crossings(level, from-1, from+101, false)
	if l.FootAside {
		ticks = picture.crossings(5+footRoom-4-1, from-1, from+101, true)
	}
	if len(ticks) != 11 || math.Abs(ticks[10]-ticks[0]-100) > 0.1 {
		t.Errorf("%s: the rule has ticks at %.2f", name, ticks)
	}
}

// All that is printed keeps clear of the edges of the paper, on every page.
func TestNothingReachesTheEdgeOfThePaper(t *testing.T) {
	for _, j := range sample.Of(t, jobs(), 1, 60) {
		w := j.work(t)
		w.Text = Text{Title: "The Light at Larkhaven", Author: "M. Orme"}
		w.Draft = true
		drawn, doc := written(t, w, on(j.paper))
		for i := range drawn.Sides {
			ink, _, err := rendertest.Ink(t.Context(), doc, i+1, 100, 200)
			if err != nil {
				t.Fatal(err)
			}
			if !ink.IsWithin(j.paper.Rect().Inset(5, 5, 5, 5), 0.3) {
				t.Errorf("%s, page %d: ink in %.1f", j, i+1, ink)
			}
		}
	}
}

// The line on a spine stands in the middle of it, across and along, and is read as it was asked for.
func TestSpineTextIsCentred(t *testing.T) {
	const fine = 10 // pixels per mm
	for _, c := range []struct {
		kind  Kind
		bind  reorder.Bind
		reads Reads
		angle float64 // on the flat
	}{
		{Case, reorder.BindLeft, 0, 270}, {Case, reorder.BindLeft, Down, 270}, {Card, reorder.BindRight, Up, 90},
		{Jacket, reorder.BindTop, Down, 90}, {Label, reorder.BindLeft, Up, 90}, {Card, reorder.BindLeft, Across, 0},
	} {
		w := job{c.kind, leaves[1], c.bind, a3}.work(t)
		w.Text = Text{SpineTitle: "TIDES", Spine: c.reads}
		w.Copies = map[Kind]int{Label: 1}[c.kind]
		drawn, doc := written(t, w, on(a3))
		l := drawn.Layout
		face, _ := w.Flat.Face(Spine)
		page := slices.IndexFunc(l.Pages, func(p []Piece) bool { return face.Centre().Rect().IsWithin(p[0].Area, 0) })
		p := l.Pages[page][0]
		picture := look(t, doc, page+1, l, fine)
		face = face.Moved(p.At.X, p.At.Y)
		ink := geom.Rect{X0: 1e9, Y0: 1e9}
		for y := int(face.Y0*picture.mm) + 1; y < int(face.Y1*picture.mm); y++ {
			for x := int(face.X0*picture.mm) + 1; x < int(face.X1*picture.mm); x++ {
				if picture.dark(x, y) > 127 {
					ink.X0, ink.X1 = min(ink.X0, float64(x)/fine), max(ink.X1, float64(x+1)/fine)
					ink.Y0, ink.Y1 = min(ink.Y0, float64(y)/fine), max(ink.Y1, float64(y+1)/fine)
				}
			}
		}
		// The S of TIDES is a little higher than its capitals, at both ends.
		if d := ink.Centre().Minus(face.Centre()); math.Abs(d.X) > 0.1 || math.Abs(d.Y) > 0.1 {
			t.Errorf("%s, read %s: ink at %.2f, the spine at %.2f", c.kind, c.reads, ink, face)
		}
		words, err := doc.Words(t.Context(), page+1)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(words, func(w render.Word) bool { return w.Text == "TIDES" })
		if i < 0 {
			t.Fatalf("%s: no title among %v", c.kind, words)
		}
		angle := words[i].Angle
		if l.Turned {
			angle -= 90
		}
		if d := math.Mod(angle-c.angle+720, 360); d > 0.5 && d < 359.5 {
			t.Errorf("%s, spine at the %s, read %s: at %.0f degrees, want %.0f", c.kind, c.bind, c.reads, angle, c.angle)
		}
	}
}

// What is drawn on the back for the boards lies, seen through the paper, where the cover is folded.
func TestInsideLiesBehindTheOutside(t *testing.T) {
	for _, paper := range []geom.Size{a3, a4} {
		w := job{Case, leaves[1], reorder.BindLeft, paper}.work(t)
		w.Inside = true
		drawn, doc := written(t, w, on(paper))
		l := drawn.Layout
		if len(drawn.Sides) != 2*len(l.Pages) {
			t.Fatalf("%d sides of %d pages", len(drawn.Sides), len(l.Pages))
		}
		for number, pieces := range l.Pages {
			back, err := doc.Gray(t.Context(), 2*number+2, 12*geom.Inch)
			if err != nil {
				t.Fatal(err)
			}
			through := image.NewGray(back.Rect)
			for y := range back.Rect.Dy() {
				for x := range back.Rect.Dx() {
					through.SetGray(back.Rect.Dx()-1-x, y, back.GrayAt(x, y))
				}
			}
			picture := seen{through, 12, l.Turned, through.Rect.Dx()}
			p := pieces[0]
			// On a level through the boards their edges are crossed, and those of the cloth.
			level := w.Flat.Size.H * 0.4
			if level < p.Area.Y0 || level > p.Area.Y1 {
				level = (p.Area.Y0 + p.Area.Y1) / 2
			}
			var want []float64
			for _, x := range slices.Concat([]float64{0}, w.Flat.Folds(), []float64{w.Flat.Size.W}) {
				if x > p.Area.X0-0.5 && x < p.Area.X1+0.5 {
					want = append(want, x+p.At.X)
				}
			}
			exactly(t, fmt.Sprintf("inside on %s, part %d", paper, number+1), picture.crossings(level+p.At.Y, p.Area.X0+p.At.X-0.9, p.Area.X1+p.At.X+0.9, false), want)
		}
	}
}
