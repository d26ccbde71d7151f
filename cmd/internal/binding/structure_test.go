package binding_test

import (
	"math"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// smallBook is a book of 60 leaves in 8 gatherings, its leaf so high.
func smallBook(height float64) binding.Book {
	return binding.Book{Leaf: geom.Size{W: height * 0.7, H: height}, Leaves: 60, Gatherings: 8, Sheets: 2, Thicknesses: 1, Caliper: reorder.Caliper{Least: 0.09, Usual: 0.1, Most: 0.11}}
}

// TestSmallBooks: below 75 mm the square is a fortieth of the height, 1 mm at least, and the other lengths
// shrink in proportion down to what hands can do (common practice, no source).
func TestSmallBooks(t *testing.T) {
	rules, err := structure.Find("case")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ height, square, kettle, board float64 }{
		{150, 3.175, 12, 2}, {75, 3.175, 12, 2}, {60, 1.5, 9.6, 1.6}, {50, 1.25, 8, 4.0 / 3}, {36, 1, 5.76, 1}, {30, 1, 4.8, 1},
	} {
		s, err := binding.Measure(smallBook(c.height), binding.Options{Structure: rules})
		if err != nil {
			t.Fatal(err)
		}
		for what, pair := range map[string][2]float64{
			"square": {s.Structure.Square.Least, c.square}, "kettle stitch": {s.Stations.Places()[0], c.kettle}, "board": {s.Board.Least, c.board},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-9 {
				t.Errorf("%g mm high: %s of %g mm, want %g", c.height, what, pair[0], pair[1])
			}
		}
	}
}

// Every way of binding has two or more holes on every small spine, in their order, and no length that is more
// than usual; one that does not say that it shrinks stays as it is.
func TestSmallSpinesHaveStations(t *testing.T) {
	for _, name := range structure.Names() {
		rules, err := structure.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		for height := 25.0; height < 75; height++ {
			s, err := binding.Measure(smallBook(height), binding.Options{Structure: rules, Edges: rules.Sewn == binding.Side})
			if rules.Sewn == binding.OneFold {
				one := smallBook(height)
				one.Gatherings = 1
				s, err = binding.Measure(one, binding.Options{Structure: rules})
			}
			if err != nil {
				t.Fatalf("%s, %g mm high: %v", name, height, err)
			}
			places, before := s.Stations.Places(), 0.0
			for _, at := range places {
				if at-before < 2.5 {
					t.Errorf("%s, %g mm high: stations at %v", name, height, places)
					break
				}
				before = at
			}
			if len(places) < 2 || before > height-2.5 {
				t.Errorf("%s, %g mm high: stations at %v", name, height, places)
			}
			usual := map[bool]float64{true: 75.0 / 40, false: rules.Square.Most}[rules.Square.Most > 1]
			if s.Structure.Square.Most > usual+1e-9 || s.Structure.EndHead.Most > rules.EndHead.Most || s.Structure.Board.Most > rules.Board.Most {
				t.Errorf("%s, %g mm high: %+v", name, height, s.Structure)
			}
		}
		rules.ShrinkBelow = binding.Range{}
		if s, err := binding.Measure(smallBook(70), binding.Options{Structure: rules, Edges: rules.Sewn == binding.Side}); err == nil && (s.Small || s.Structure.Square != rules.Square) {
			t.Errorf("%s shrinks unasked", name)
		}
	}
}
