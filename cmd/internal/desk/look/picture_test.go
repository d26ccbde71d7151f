package look

import (
	"context"
	"image"
	"image/draw"
	"math"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

var larkhaven = filepath.Join("..", "..", "..", "..", "testdata", "larkhaven.pdf")

func pages(t *testing.T, list string) (p options.Pages) {
	t.Helper()
	if err := p.UnmarshalText([]byte(list)); err != nil {
		t.Fatal(err)
	}
	return p
}

// lent lends one draft as [Drafts] do.
func lent(d *plan.Draft) opener {
	return func(context.Context) (*plan.Draft, func(), error) { return d, func() {}, nil }
}

func grey(img image.Image) *image.Gray {
	out := image.NewGray(img.Bounds())
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Src)
	return out
}

func drawIt(t *testing.T, s *sources, d *plan.Draft, p picture) *image.Gray {
	t.Helper()
	img, err := s.draw(t.Context(), p, 480, lent(d))
	if err != nil {
		t.Fatal(err)
	}
	return grey(img)
}

// TestPagesAreSeenAsTheyWillBeRead: at each place of the book stands the page that is read there, upright,
// at the spine of its leaf. Where that is, is reckoned here from the side on which the
// spine of a recto and of a verso lies, without the sheets.
func TestPagesAreSeenAsTheyWillBeRead(t *testing.T) {
	doc := rendertest.Open(t, larkhaven)
	s := newSources(t.Context(), rendertest.Shared(t))
	var all []options.Options
	for _, fold := range reorder.Folds() {
		for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
			for _, wide := range []reorder.Wide{reorder.WideTurn, reorder.WideShrink} {
				all = append(all, options.Options{Fold: fold, Bind: bind, Wide: wide, Gutter: 4})
			}
		}
	}
	could, compared := 0, 0
	for _, o := range sample.Of(t, all, 1, 1, 6) {
		o.Pages = pages(t, "3-10,58-62")
		d := written.Draft(t, larkhaven, o)
		leaf := d.Book.PanelSize()
		var want []int
		for _, g := range d.Book.Gatherings {
			want = append(want, g.Pages...)
		}
		got := pagesOf(d)
		if len(got) != len(want) {
			t.Fatalf("%+v: %d pages are seen of %d", o, len(got), len(want))
		}
		scales := map[int]float64{}
		for _, n := range d.Placement.Notes {
			if n.Kind == reorder.Shrunk {
				scales[n.Page] = n.Scale
			}
		}
		var before *image.Gray
		for i, p := range got {
			if p.Page != want[i] || p.Place != i+1 || math.Abs(p.Size.W-leaf.W)+math.Abs(p.Size.H-leaf.H) > 1e-6 {
				t.Fatalf("%+v: at place %d page %d of %v is seen, want %d of %v", o, i+1, p.Page, p.Size, want[i], leaf)
			}
			seen := drawIt(t, s, d, p.picture)
			if p.Page == 0 {
				if dark, any := render.Dark(seen, 255); any {
					t.Errorf("%+v: ink at %v on a blank", o, dark)
				}
				continue
			}
			box := d.Shown(want[i]).Box.Size()
			m, scale := geom.Identity, d.Placement.Scale
			if own := scales[want[i]]; own > 0 {
				scale = own
			}
			if box.W > box.H && leaf.W < leaf.H && o.Wide == reorder.WideTurn {
				m, box = geom.Rotate(1).Then(geom.Translate(box.H, 0)), box.Turn()
			}
			m = m.Then(geom.Enlarge(scale))
			w, h := box.W*scale, box.H*scale
			recto := i%2 == 0
			at := geom.Point{X: 4, Y: (leaf.H - h) / 2}
			switch {
			case o.Bind == reorder.BindTop && recto:
				at = geom.Point{X: (leaf.W - w) / 2, Y: leaf.H - 4 - h}
			case o.Bind == reorder.BindTop:
				at = geom.Point{X: (leaf.W - w) / 2, Y: 4}
			case recto == (o.Bind == reorder.BindRight):
				at.X = leaf.W - 4 - w
			}
			page, err := doc.Compose(t.Context(), leaf, 480/leaf.W*geom.Inch, []render.Placed{{Page: p.Page, Matrix: m.Then(geom.Translate(at.X, at.Y)), Clip: leaf.Rect()}})
			if err != nil {
				t.Fatal(err)
			}
			diff := render.Compare(page, seen)
			if diff.Mean > 3 || diff.Worst > 70 {
				t.Fatalf("%+v: place %d, page %d: %+v", o, i+1, p.Page, diff)
			}
			if before != nil {
				could++
				if other := render.Compare(before, seen); other.Mean > 2*diff.Mean {
					compared++
				}
			}
			before = page
		}
	}
	t.Logf("%d of %d pages are more like themselves than like the one before", compared, could)
	if could == 0 || compared < could*2/3 {
		t.Errorf("only %d pages of %d tell anything", compared, could)
	}
}

// TestSidesAreSeenAsTheyArePrinted compares each side with the page of the print file that is written of it.
func TestSidesAreSeenAsTheyArePrinted(t *testing.T) {
	s := newSources(t.Context(), rendertest.Shared(t))
	var none options.Marks
	if err := none.UnmarshalText([]byte("none")); err != nil {
		t.Fatal(err)
	}
	all := []options.Options{
		{Fold: reorder.Folio}, {Fold: reorder.Quarto, Bind: reorder.BindRight}, {Fold: reorder.Octavo, Cut: 2},
		{Fold: reorder.Folio, Cut: 4, Bind: reorder.BindTop}, {Fold: reorder.Duodecimo}, {Fold: reorder.Sixteenmo},
		{Fold: reorder.Loose, CopiesAcross: true}, {Fold: reorder.Pouch}, {Fold: reorder.Concertina},
		{Fold: reorder.Folio, Box: options.BoxContent, Margin: 5},
	}
	compared := 0
	for _, o := range sample.Of(t, all, 1, 1, 5) {
		o.Pages, o.NoSideNames, o.Marks = pages(t, "3-16,60"), true, none
		d := written.Draft(t, larkhaven, o)
		folder := filepath.Join(t.TempDir(), "job")
		if _, err := (output.Job{Draft: d}).Write(t.Context(), folder, false, silent{}); err != nil {
			t.Fatal(err)
		}
		for _, run := range d.Runs {
			for _, pass := range run.Passes {
				doc := rendertest.Open(t, filepath.Join(folder, pass.Name))
				for i, image := range pass.Images {
					side := sideOf(d, d.Sheet(run, image.Sheet), image.Side)
					printed, err := doc.Gray(t.Context(), i+1, 480/side.Size.W*geom.Inch)
					if err != nil {
						t.Fatal(err)
					}
					turn := side.turn
					if image.HalfTurn {
						turn += 2
					}
					printed = turned(printed, turn)
					seen := drawIt(t, s, d, side.picture)
					if diff := render.Compare(printed, seen); diff.Mean > 3 || diff.Worst > 70 {
						t.Errorf("%+v: sheet %d, %s: %+v", o, side.Sheet, image.Side, diff)
					} else if other := render.Compare(turned(printed, 2), seen); other.Mean > 2*diff.Mean {
						compared++
					}
				}
			}
		}
	}
	t.Logf("%d sides are more like themselves than like themselves upside down", compared)
	if compared == 0 { // a quarto has pages both ways up on a side
		t.Errorf("no side tells anything")
	}
}

type silent struct{}

func (silent) Step(int) {}

// turned is a picture after counter-clockwise quarter turns.
func turned(g *image.Gray, quarters int) *image.Gray {
	for range quarters % 4 {
		b := g.Bounds()
		out := image.NewGray(image.Rect(0, 0, b.Dy(), b.Dx()))
		for y := range b.Dy() {
			for x := range b.Dx() {
				out.SetGray(y, b.Dx()-1-x, g.GrayAt(x, y))
			}
		}
		g = out
	}
	return g
}
