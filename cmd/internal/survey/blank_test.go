package survey

import (
	"context"
	"math"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// lookAt is the survey of a blank book.
func lookAt(t *testing.T, o options.Options) (*Survey, error) {
	t.Helper()
	r, err := o.Resolve(options.Setting{Profiles: profiles.Store{}, Region: "GB", Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return Look(t.Context(), Together(rendertest.Shared(t)), r.Options)
}

// TestRulingsKeepTheirMargins draws the pages of blank books: margins are mirrored, and nothing is printed on plain ones.
func TestRulingsKeepTheirMargins(t *testing.T) {
	margins := options.Margins{Given: true, Inner: 20, Outer: 12, Head: 16, Tail: 25}
	for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight, reorder.BindTop} {
		for ruling := options.RulingPlain; ruling <= options.RulingDots; ruling++ {
			o := options.Options{Blank: 6, Ruling: ruling, Bind: bind, Trim: options.Trim{Given: true, Head: 2, Tail: 3, ForeEdge: 4}}
			if ruling != options.RulingPlain {
				o.Margins, o.Spacing = margins, 4
			}
			if bind == reorder.BindTop {
				o.Cut = 2
			}
			v, err := lookAt(t, o)
			if err != nil {
				t.Fatal(err)
			}
			if len(v.Chosen) != 6 || !v.IsBlankBook() || v.IsHalfTitle(1) || len(v.Pages()) != 6 {
				t.Fatalf("%d pages", len(v.Chosen))
			}
			seen := 0
			err = v.EachPicture(t.Context(), v.Chosen, func(page int, p Picture, err error) error {
				if err != nil {
					return err
				}
				seen++
				ink, any := p.Faint(p.Size().Rect())
				if any != (ruling != options.RulingPlain) {
					t.Errorf("%s, %s, page %d is printed on: %t", bind, ruling, page, any)
				}
				if !any {
					return nil
				}
				want := wantedInk(p.Size(), bind, page%2 == 1, ruling != options.RulingLines)
				for i, d := range [4]float64{ink.X0 - want.X0, ink.Y0 - want.Y0, ink.X1 - want.X1, ink.Y1 - want.Y1} {
					if math.Abs(d) > 0.8 {
						t.Errorf("%s, %s, page %d: edge %d of the ruling is off by %.2f mm: %v, want %v", bind, ruling, page, i, d, ink, want)
					}
				}
				return nil
			})
			if err != nil || seen != 6 {
				t.Fatalf("%d pages seen: %v", seen, err)
			}
		}
	}
}

// wantedInk is where a ruling of 4 mm ends between the margins of the test, in whole steps from the head and, of
// squares, from the spine.
func wantedInk(page geom.Size, bind reorder.Bind, recto, squares bool) geom.Rect {
	step := func(length float64) float64 { return 4 * math.Floor(length/4+1e-6) }
	r := geom.Rect{X0: 20, Y0: 25, X1: page.W - 12, Y1: page.H - 16}
	leftSpine := (bind == reorder.BindLeft) == recto
	switch {
	case bind == reorder.BindTop && recto:
		r = geom.Rect{X0: 16, Y0: 12, X1: page.W - 25, Y1: page.H - 20}
	case bind == reorder.BindTop:
		r = geom.Rect{X0: 16, Y0: 20, X1: page.W - 25, Y1: page.H - 12}
	case !leftSpine:
		r.X0, r.X1 = 12, page.W-20
	}
	if bind == reorder.BindTop && !recto {
		r.Y1 = r.Y0 + step(r.Y1-r.Y0)
	} else {
		r.Y0 = r.Y1 - step(r.Y1-r.Y0)
	}
	switch width := step(r.X1 - r.X0); {
	case !squares:
	case bind != reorder.BindTop && !leftSpine:
		r.X0 = r.X1 - width
	default:
		r.X1 = r.X0 + width
	}
	return r
}

// TestLinesAreCounted counts the lines down the middle of a page.
func TestLinesAreCounted(t *testing.T) {
	v, err := lookAt(t, options.Options{Blank: 2, Ruling: options.RulingLines, Spacing: 7.5, Margins: options.Margins{Given: true, Inner: 15, Outer: 10, Head: 20, Tail: 20}})
	if err != nil {
		t.Fatal(err)
	}
	doc, err := v.Render(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	defer doc.Close()
	picture, err := doc.Gray(t.Context(), 1, 300)
	if err != nil {
		t.Fatal(err)
	}
	lines, before := 0, uint8(255)
	for y := range picture.Rect.Dy() {
		at := picture.GrayAt(picture.Rect.Dx()/2, y).Y
		if at < 230 && before >= 230 {
			lines++
		}
		before = at
	}
	if want := 23; lines != want { // 170 mm hold 22 spaces of 7.5 mm
		t.Errorf("%d lines, want %d", lines, want)
	}
}

func TestMarginsThatLeaveNothing(t *testing.T) {
	_, err := lookAt(t, options.Options{Blank: 4, Ruling: options.RulingDots, Margins: options.Margins{Given: true, Inner: 90, Outer: 60}})
	if refusal.Of(err) != refusal.Plan {
		t.Errorf("got %v", err)
	}
}
