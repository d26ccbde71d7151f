package structure

import (
	"math"
	"testing"

	"foldwright/cmd/internal/binding"
)

// The rules of the built-in structures are those of their sources. COCKERELL,
// Bookbinding, and the Care of Books, 1901; ZAEHNSDORF, The Art of Bookbinding,
// 1890; VAUGHN, Printing and Bookbinding for Schools, 1912; BEAN and Brodhead,
// Bookbinding for Beginners, 1918. "practice" is common practice, no source.
func TestBuiltinRulesAreThePublishedOnes(t *testing.T) {
	const in = 25.4
	for _, c := range []struct {
		structure, rule, source string
		of                      func(binding.Structure) binding.Range
		least, most             float64 // what the source allows
	}{
		{"cords", "tail-longer", "ZAEHNSDORF p. 20", func(s binding.Structure) binding.Range { return s.TailLonger }, in / 2, in / 2},
		{"cords", "end-head", "COCKERELL p. 98", func(s binding.Structure) binding.Range { return s.EndHead }, in / 4, in / 4},
		{"cords", "end-tail", "COCKERELL p. 98", func(s binding.Structure) binding.Range { return s.EndTail }, in / 4, in / 4},
		{"cords", "slip", "COCKERELL p. 114", func(s binding.Structure) binding.Range { return s.Slip }, 2 * in, 2 * in},
		{"cords", "cord-times", "ZAEHNSDORF p. 23", func(s binding.Structure) binding.Range { return s.CordTimes }, 4, 4},
		{"cords", "lacing-holes", "COCKERELL p. 132", func(s binding.Structure) binding.Range { return s.LacingHoles }, in / 2, in / 2},
		{"cords", "turn-in", "COCKERELL p. 154", func(s binding.Structure) binding.Range { return s.TurnIn }, in, in},
		{"cords", "square", "practice: + 1/8 in wide, + 1/4 in high", func(s binding.Structure) binding.Range { return s.Square }, in / 8, in / 8},
		{"cords", "joint", "practice: none", func(s binding.Structure) binding.Range { return s.Joint }, 0, 0},
		{"flat-back", "first-head", "BEAN, 1 to 1 1/2 in", func(s binding.Structure) binding.Range { return s.FirstHead }, in, 1.5 * in},
		{"flat-back", "last-tail", "BEAN, 1 to 1 1/2 in", func(s binding.Structure) binding.Range { return s.LastTail }, in, 1.5 * in},
		{"flat-back", "end-head", "BEAN", func(s binding.Structure) binding.Range { return s.EndHead }, in / 2, in / 2},
		{"flat-back", "end-tail", "BEAN", func(s binding.Structure) binding.Range { return s.EndTail }, in / 2, in / 2},
		{"case", "square", "VAUGHN p. 117", func(s binding.Structure) binding.Range { return s.Square }, in / 8, 3 * in / 16},
		{"case", "turn-in", "VAUGHN p. 118", func(s binding.Structure) binding.Range { return s.TurnIn }, 0.75 * in, 0.75 * in},
		{"case", "joint", "practice: 6 to 8 mm", func(s binding.Structure) binding.Range { return s.Joint.Plus(s.Board.By(s.JointBoards)) }, 6, 8},
		{"case", "end-head", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return s.EndHead }, 10, 15},
		{"case", "end-tail", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return s.EndTail }, 10, 15},
		{"case", "widest-gap", "practice: about 60 mm", func(s binding.Structure) binding.Range { return s.WidestGap }, 60, 60},
		{"case", "pressed", "practice: 0.4 to 0.7", func(s binding.Structure) binding.Range { return s.Pressed }, 0.4, 0.7},
		{"case", "swelling-wanted", "practice: about 1/4 to 1/3", func(s binding.Structure) binding.Range { return s.SwellWanted }, 0.25, 0.34},
		{"flat-back", "square", "VAUGHN p. 117", func(s binding.Structure) binding.Range { return s.Square }, in / 8, 3 * in / 16},
		{"flat-back", "turn-in", "VAUGHN p. 118", func(s binding.Structure) binding.Range { return s.TurnIn }, 0.75 * in, 0.75 * in},
		{"french-link", "square", "VAUGHN p. 117", func(s binding.Structure) binding.Range { return s.Square }, in / 8, 3 * in / 16},
		{"french-link", "turn-in", "VAUGHN p. 118", func(s binding.Structure) binding.Range { return s.TurnIn }, 0.75 * in, 0.75 * in},
		{"french-link", "end-head", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return s.EndHead }, 10, 15},
		{"link-stitch", "end-head", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return s.EndHead }, 10, 15},
		{"link-stitch", "widest-gap", "practice: about 60 mm", func(s binding.Structure) binding.Range { return s.WidestGap }, 60, 60},
		{"case", "thread-over", "from memory: one or two lengths", func(s binding.Structure) binding.Range { return s.Over }, 1, 2},
		{"case", "thread-start", "practice: about 2 in", func(s binding.Structure) binding.Range { return s.Start }, 2 * in, 2 * in},
	} {
		s, err := Find(c.structure)
		if err != nil {
			t.Fatal(err)
		}
		got := c.of(s)
		if got.Least < c.least-1e-9 || got.Most > c.most+1e-9 || math.IsNaN(got.Least) {
			t.Errorf("%s of %s is %s, %s has %g to %g", c.rule, c.structure, got, c.source, c.least, c.most)
		}
	}
	// COCKERELL p. 98 has five cords; a support more above 280 mm, 2 tapes below
	// 130 mm, 3 to 210, 4 to 280 (practice).
	for _, c := range []struct {
		structure string
		height    float64
		want      int
	}{{"cords", 210, 5}, {"case", 129, 2}, {"case", 131, 3}, {"case", 210, 3}, {"case", 211, 4}, {"case", 280, 4}, {"french-link", 129, 2}, {"french-link", 210, 3}, {"french-link", 280, 4}, {"flat-back", 178, 3}} {
		s, err := Find(c.structure)
		if err != nil {
			t.Fatal(err)
		}
		if st, err := s.Stations(binding.MM, c.height, 0); err != nil || len(st.Supports) != c.want {
			t.Errorf("%s at %g mm has %d supports, want %d: %v", c.structure, c.height, len(st.Supports), c.want, err)
		}
	}
}

// Tapes stand neither at the kettle stitches nor far from each other: the outer ones 1 to 1 1/2 in from the ends
// (BEAN), within that as evenly as can be, and no gap above 60 mm (practice). At 210 mm they once stood 8 mm from the
// kettle stitch and left 67 mm bare.
func TestTapesStandEvenly(t *testing.T) {
	s, err := Find("flat-back")
	if err != nil {
		t.Fatal(err)
	}
	for height := 110.0; height <= 280; height += 5 {
		st, err := s.Stations(binding.MM, height, 0)
		if err != nil || len(st.Notes) > 0 {
			t.Fatalf("%g mm: %v, %q", height, err, st.Notes)
		}
		holes := st.Holes
		outer, inner := holes[1].At-holes[0].At, holes[3].At-holes[2].At
		if outer < 0.3*inner || inner > 60 || outer > inner+1e-6 {
			t.Errorf("%g mm: %.1f mm from the kettle stitch to the tape, %.1f to the next", height, outer, inner)
		}
		if first := st.Supports[0]; first < 25.4 || first > 38.1+1e-9 {
			t.Errorf("%g mm: the first tape stands at %.1f mm", height, first)
		}
	}
	st, _ := s.Stations(binding.MM, 210, 0)
	if got := st.Holes[1].At - st.Holes[0].At; math.Abs(got-20.6) > 0.1 {
		t.Errorf("at 210 mm the first tape is %.1f mm from the kettle stitch, BEAN's 1 1/2 in leave 20.6", got)
	}
}
