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
	of := func(l binding.Length) binding.Range { return l.Exactly() }
	for _, c := range []struct {
		structure, rule, source string
		of                      func(binding.Structure) binding.Range
		least, most             float64 // what the source allows
	}{
		{"cords", "tail-longer", "ZAEHNSDORF p. 20", func(s binding.Structure) binding.Range { return of(s.TailLonger) }, in / 2, in / 2},
		{"cords", "end-head", "COCKERELL p. 98", func(s binding.Structure) binding.Range { return of(s.EndHead) }, in / 4, in / 4},
		{"cords", "end-tail", "COCKERELL p. 98", func(s binding.Structure) binding.Range { return of(s.EndTail) }, in / 4, in / 4},
		{"cords", "slip", "COCKERELL p. 114", func(s binding.Structure) binding.Range { return of(s.Slip) }, 2 * in, 2 * in},
		{"cords", "cord-times", "ZAEHNSDORF p. 23", func(s binding.Structure) binding.Range { return s.CordTimes }, 4, 4},
		{"cords", "lacing-holes", "COCKERELL p. 132", func(s binding.Structure) binding.Range { return of(s.LacingHoles) }, in / 2, in / 2},
		{"cords", "turn-in", "COCKERELL p. 154", func(s binding.Structure) binding.Range { return of(s.TurnIn) }, in, in},
		{"cords", "square", "practice: + 1/8 in wide, + 1/4 in high", func(s binding.Structure) binding.Range { return of(s.Square) }, in / 8, in / 8},
		{"cords", "joint", "practice: none", func(s binding.Structure) binding.Range { return of(s.Joint) }, 0, 0},
		{"tapes", "first-head", "BEAN, 1 to 1 1/2 in; VAUGHN pp. 112, 124, 3/4 to 1 in", func(s binding.Structure) binding.Range { return of(s.FirstHead) }, in, in},
		{"tapes", "last-tail", "BEAN, 1 to 1 1/2 in; VAUGHN pp. 112, 124, 1 1/4 to 1 1/2 in", func(s binding.Structure) binding.Range { return of(s.LastTail) }, 1.25 * in, 1.5 * in},
		{"tapes", "end-head", "BEAN", func(s binding.Structure) binding.Range { return of(s.EndHead) }, in / 2, in / 2},
		{"tapes", "end-tail", "BEAN", func(s binding.Structure) binding.Range { return of(s.EndTail) }, in / 2, in / 2},
		{"case", "square", "VAUGHN p. 117", func(s binding.Structure) binding.Range { return of(s.Square) }, in / 8, 3 * in / 16},
		{"case", "turn-in", "VAUGHN p. 118", func(s binding.Structure) binding.Range { return of(s.TurnIn) }, 0.75 * in, 0.75 * in},
		{"case", "joint", "practice: 6 to 8 mm", func(s binding.Structure) binding.Range { return of(s.Joint) }, 6, 8},
		{"case", "end-head", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return of(s.EndHead) }, 10, 15},
		{"case", "end-tail", "practice: 10 to 15 mm", func(s binding.Structure) binding.Range { return of(s.EndTail) }, 10, 15},
		{"case", "widest-gap", "practice: about 60 mm", func(s binding.Structure) binding.Range { return of(s.WidestGap) }, 60, 60},
		{"case", "pressed", "practice: 0.4 to 0.7", func(s binding.Structure) binding.Range { return s.Pressed }, 0.4, 0.7},
		{"case", "swelling-wanted", "practice: about 1/4 to 1/3", func(s binding.Structure) binding.Range { return s.SwellWanted }, 0.25, 0.34},
		{"case", "thread-over", "from memory: one or two lengths", func(s binding.Structure) binding.Range { return s.Over }, 1, 2},
		{"case", "thread-start", "practice: about 2 in", func(s binding.Structure) binding.Range { return of(s.Start) }, 2 * in, 2 * in},
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
	}{{"cords", 210, 5}, {"case", 129, 2}, {"case", 131, 3}, {"case", 210, 3}, {"case", 211, 4}, {"case", 280, 4}, {"tapes", 178, 3}} {
		s, err := Find(c.structure)
		if err != nil {
			t.Fatal(err)
		}
		if st, err := s.Stations(binding.MM, c.height, 0); err != nil || len(st.Supports) != c.want {
			t.Errorf("%s at %g mm has %d supports, want %d: %v", c.structure, c.height, len(st.Supports), c.want, err)
		}
	}
}
