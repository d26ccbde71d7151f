package binding_test

import (
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// plain is a structure without supports and boards, to be changed by tests.
func plain() binding.Structure {
	return binding.Structure{
		Format: 1, Name: "plain", Title: "plain", Sewn: binding.Folds, Support: binding.NoSupport, Spacing: binding.Between,
		Heights: []binding.Range{binding.Exactly(130), binding.Exactly(210), binding.Exactly(280)}, Numbers: []int{2, 3, 4}, Step: 1,
		EndHead: binding.Exactly(12), EndTail: binding.Exactly(12), WidestGap: binding.Exactly(60), NarrowGap: binding.Exactly(10),
		Thread: binding.Range{Least: 0.4, Most: 0.6}, Over: binding.Exactly(1), Pressed: binding.Range{Least: 0.4, Most: 0.7},
		SwellWanted: binding.Range{Least: 0, Most: 1}, Spine: binding.Flat, Cover: binding.Paper,
	}
}

func measure(t *testing.T, b binding.Book, s binding.Structure, m binding.Measured) binding.Sheet {
	t.Helper()
	if err := s.Check(); err != nil {
		t.Fatal(err)
	}
	sheet, err := binding.Measure(b, binding.Options{Structure: s, Measured: m})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func figure(t *testing.T, figures []binding.Figure, name string) binding.Figure {
	t.Helper()
	for _, f := range figures {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no figure is called %s", name)
	return binding.Figure{}
}

func amount(t *testing.T, figures []binding.Figure, name string) binding.Range {
	t.Helper()
	return figure(t, figures, name).Amount
}

// cased is plain made up as a case with Vaughn's rules: squares 1/8 in (p. 117),
// turn-ins 3/4 in (p. 118), joint 1/4 in.
func cased() binding.Structure {
	s := plain()
	s.Cover, s.Spine, s.Board, s.Square, s.Joint, s.TurnIn = binding.Case, binding.Rounded, binding.Range{Least: 2, Most: 2.5}, binding.Exactly(in/8), binding.Exactly(in/4), binding.Exactly(0.75*in)
	return s
}

// Two books worked by hand from the handbooks' rules, step by step.
func TestTwoBooksByHand(t *testing.T) {
	type step struct {
		what  string
		after bool
		want  float64 // width, or the figure
		high  float64 // height; 0: none
		by    string
	}
	for _, book := range []struct {
		name  string
		book  binding.Book
		s     binding.Structure
		m     binding.Measured
		steps []step
	}{
		{
			"a school's book: leaves of 6 x 9 in, 20 sections, measured when sewn; VAUGHN, COCKERELL",
			binding.Book{Leaf: geom.Size{W: 6 * in, H: 9 * in}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper},
			cased(),
			binding.Measured{Block: 5.0 / 8 * in, Board: 3.0 / 32 * in, Spine: in, Thread: 0.02 * in},
			[]step{
				{"swelling before pressing, at most", false, 0.4 * in, 0, "twenty thicknesses of thread, COCKERELL p. 119: 20 x 0.02 in"},
				{"boards, width x height", true, 5.875 * in, 9.25 * in, "6 - 1/4 + 1/8 in; 9 + 2 x 1/8 in, VAUGHN p. 117"},
				{"spine strip", true, in, 9.25 * in, "the measured spine; as high as the boards"},
				{"cover, whole", true, 14.75 * in, 10.75 * in, "2 x 5 7/8 + 1 + 2 x 1/4 + 1 1/2 in; 9 1/4 + 1 1/2 in, VAUGHN p. 118"},
				{"backing shoulder", true, 3.0 / 32 * in, 0, "the board's thickness, VAUGHN p. 115"},
				{"cover, corners cut off", true, 3.0 / 32 * in, 0, "a board's thickness from the corner, VAUGHN"},
			},
		},
		{
			"half A4, sewn on five cords and laced in: leaves of 148.5 x 210 mm; COCKERELL, ZAEHNSDORF",
			binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 200, Gatherings: 25, Sheets: 100, Caliper: reorder.OfficeCaliper},
			func() binding.Structure {
				s := cased()
				s.Support, s.Spacing, s.TailLonger, s.EndHead, s.EndTail = binding.Cords, binding.Portions, binding.Exactly(in/2), binding.Exactly(in/4), binding.Exactly(in/4)
				s.Cover, s.Joint, s.TurnIn, s.Slip, s.CordTimes, s.LacingHoles = binding.Boards, binding.Exactly(0), binding.Exactly(in), binding.Exactly(2*in), binding.Exactly(4), binding.Exactly(in/2)
				s.Pressed = binding.Exactly(0.5)
				return s
			}(),
			binding.Measured{Block: 20, Board: 2, Spine: 31.742, Thread: 0.5, Supports: 5},
			[]step{
				{"swelling before pressing, at most", false, 12.5, 0, "25 x 0.5 mm, COCKERELL p. 119"},
				{"swelling after pressing", false, 6.25, 0, "half of it pressed out, common practice"},
				{"spine, thickness", true, 26.25, 0, "20 + 6.25 mm"},
				{"round, depth", true, 7.578, 0, "26.25 x 0.2887, a third of a circle, ZAEHNSDORF p. 48"},
				{"cords", false, 127.85, 0, "26.25 + 2 x 50.8 mm (COCKERELL p. 114) is more than 4 x 26.25 = 105 mm (ZAEHNSDORF p. 23)"},
				{"thread to cut", false, 26*197.3 + (24+2*23)*1.05, 0, "203.65 - 6.35 mm times 25 and one over; 24 times up by 26.25 / 25 mm, 23 kettle stitches down and up"},
				{"boards, width x height", true, 151.675, 216.35, "148.5 + 3.175; 210 + 6.35 mm"},
				{"cover, whole", true, 385.892, 267.15, "2 x 151.675 + 31.742 + 2 x 25.4; 216.35 + 2 x 25.4 mm, COCKERELL p. 154"},
			},
		},
	} {
		sheet := measure(t, book.book, book.s, book.m)
		for _, st := range book.steps {
			list := sheet.Before
			if st.after {
				list = sheet.After
			}
			f := figure(t, list, st.what)
			what := book.name + ": " + st.what + ", " + st.by
			near(t, what, f.Amount.Least, st.want, 2e-3)
			near(t, what, f.Amount.Most, st.want, 2e-3)
			near(t, what, f.Height.Most, st.high, 2e-3)
		}
		if !sheet.Firm {
			t.Errorf("%s: what was measured is not taken as firm", book.name)
		}
	}
}

// Without measuring, whatever hangs on the block's thickness stays a range, and
// every figure says what it was worked out from.
func TestEstimatesStayRanges(t *testing.T) {
	b := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper, CaliperOf: "office paper"}
	sheet := measure(t, b, cased(), binding.Measured{})
	for _, name := range []string{"spine, thickness", "spine, over its curve", "cover, whole", "spine strip"} {
		if !figure(t, sheet.After, name).IsEstimate() {
			t.Errorf("%s is no range", name)
		}
	}
	if sheet.Firm || len(sheet.Questions) > 0 {
		t.Errorf("firm %t, %v", sheet.Firm, sheet.Questions)
	}
	for _, f := range append(sheet.Before, sheet.After...) {
		if f.From == "" || strings.Contains(f.From, "%!") {
			t.Errorf("%s was worked out from %q", f.Name, f.From)
		}
	}
}

func TestWhatDiffersByAThirdIsQuestioned(t *testing.T) {
	b := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.MeasuredCaliper(0.1)}
	for _, c := range []struct {
		m    binding.Measured
		asks string
	}{
		{binding.Measured{Block: 21}, ""},
		{binding.Measured{Block: 22}, "the block was measured as 22 mm, and was expected at 16 mm: is that right?"},
		{binding.Measured{Block: 10}, "the block was"},
		{binding.Measured{Thread: 1.5}, "the thread was measured as 1.5 mm, and was expected at 0.40 to 0.60 mm"},
		{binding.Measured{Board: 4}, "the board was"},
		{binding.Measured{Spine: 60}, "the spine was"},
		{binding.Measured{Leaf: geom.Size{W: 90, H: 210}}, "the leaf was measured as 90 x 210 mm, and the plan has 148.5 x 210 mm: is that right?"},
		{binding.Measured{StackLeaves: 40, Stack: 8}, "a leaf was measured as 0.20 mm"},
	} {
		got := questions(measure(t, b, cased(), c.m))
		if (c.asks == "") != (got == "") || !strings.HasPrefix(got, c.asks) {
			t.Errorf("%+v: %q", c.m, got)
		}
	}
}

// A spine that was measured narrows every figure that hangs on it, and widens none.
func TestMeasuredSpineNarrowsWhatFollows(t *testing.T) {
	s := cased()
	s.Support, s.Width, s.Slip = binding.Tapes, binding.Exactly(10), binding.Exactly(38)
	b := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper}
	for _, given := range []binding.Measured{{}, {Block: 16}} {
		before := measure(t, b, s, given)
		given.Spine = 26
		after := measure(t, b, s, given)
		for _, name := range []string{
			"swelling after pressing", "swelling, share", "tapes", "spine, thickness", "spine, over its curve", "round, depth", "spine strip", "cover, whole", "second lining, of paper",
		} {
			was, is := amount(t, append(before.Before, before.After...), name), amount(t, append(after.Before, after.After...), name)
			// The spine may be less round than was expected, so its depth may lie elsewhere.
			inside := name == "round, depth" || is.Least > was.Least-1e-9 && is.Most < was.Most+1e-9
			if !inside || is.Most-is.Least > 0.95*(was.Most-was.Least) {
				t.Errorf("%s: %s, and %s with a measured spine", name, was, is)
			}
		}
	}
	// A curve of 26 mm that is a third of a circle spans 21.5 mm: with a block of 16 mm at least 5.5 mm are swelling.
	sheet := measure(t, b, s, binding.Measured{Block: 16, Spine: 26})
	near(t, "swelling", sheet.Swelling.Least, 26/1.2092-16, 2e-3)
	near(t, "thickness", sheet.Thick.Least, 26/1.2092, 2e-3)
	// A spine that is hardly round is not narrower than its block.
	if sheet := measure(t, b, s, binding.Measured{Block: 17.5, Spine: 18}); sheet.Thick.Least < 17.5 || sheet.Swelling.Least < 0 || sheet.Swelling.Least > sheet.Swelling.Most {
		t.Errorf("a curve of 18 mm over a block of 17.5: thickness %s, swelling %s", sheet.Thick, sheet.Swelling)
	}
	// A curve is never shorter than what it spans.
	sheet = measure(t, b, s, binding.Measured{Block: 17.5, Spine: 17})
	if got := questions(sheet); got != "the spine was measured as 17 mm, which is less than the block of 17.5 mm: is that right?" {
		t.Errorf("a curve narrower than the block: %q", got)
	}
}

// The joint and the corner of the cloth go with the board, as the hinge has to go round its edge and the cloth over its
// corner (common practice, no source; the corner: VAUGHN), and so do the sums for boards and cover.
func TestJointAndCornerFollowTheBoard(t *testing.T) {
	s := cased()
	s.Joint, s.JointBoards = binding.Exactly(5), binding.Exactly(1)
	b := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper}
	for _, board := range []float64{1, 2, 3} {
		sheet := measure(t, b, s, binding.Measured{Board: board, Block: 16, Spine: 26})
		near(t, "joint", amount(t, sheet.After, "joint").Most, 5+board, 1e-9)
		near(t, "corner", amount(t, sheet.After, "cover, corners cut off").Most, board, 1e-9)
		near(t, "board, width", sheet.BoardW.Most, 148.5-5-board+in/8, 1e-9)
		near(t, "cover, width", sheet.ClothW.Most, 2*(148.5+in/8)+26+1.5*in, 1e-9)
	}
	if joint := measure(t, b, s, binding.Measured{}).Joint; joint != (binding.Range{Least: 7, Most: 7.5}) {
		t.Errorf("for boards of 2 to 2.5 mm the joint is %s", joint)
	}
}

// A block that swells little has no shoulder as high as its board: half of the swelling is all that a side has.
func TestShoulderIsNoMoreThanTheSwellingGives(t *testing.T) {
	thin := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 60, Gatherings: 8, Sheets: 30, Caliper: reorder.OfficeCaliper}
	sheet := measure(t, thin, cased(), binding.Measured{Block: 6.5, Board: 2.3, Thread: 0.5})
	shoulder := amount(t, sheet.After, "backing shoulder")
	near(t, "least", shoulder.Least, 8*0.5*0.4/2, 1e-9)
	near(t, "most", shoulder.Most, 8*0.5*0.7/2, 1e-9)
	thick := thin
	thick.Leaves, thick.Gatherings, thick.Sheets = 160, 20, 80
	near(t, "enough swelling", amount(t, measure(t, thick, cased(), binding.Measured{Block: 16, Board: 2.3, Thread: 0.5}).After, "backing shoulder").Most, 2.3, 1e-9)
}

func TestLeafThatIsNotThePlansIsQuestioned(t *testing.T) {
	b := binding.Book{Leaf: geom.Size{W: 145.5, H: 204}, Trim: reorder.Trim{Head: 3, Tail: 3, ForeEdge: 3}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper}
	for leaf, asks := range map[geom.Size]bool{{W: 145, H: 203}: false, {W: 148, H: 206}: false, {W: 141, H: 204}: true, {W: 145.5, H: 198}: true} {
		if got := measure(t, b, cased(), binding.Measured{Leaf: leaf}).Questions; (len(got) > 0) != asks {
			t.Errorf("a leaf of %v, planned as %v: %q", leaf, b.Leaf, got)
		}
	}
}

func TestNonsenseIsRefused(t *testing.T) {
	good := binding.Book{Leaf: geom.Size{W: 148.5, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper}
	pamphlet := plain()
	pamphlet.Sewn, pamphlet.Times = binding.OneFold, binding.Exactly(3)
	wide := cased()
	wide.Joint = binding.Exactly(80)
	for what, c := range map[string]struct {
		b binding.Book
		o binding.Options
	}{
		"the block's thickness cannot be -3 mm":          {good, binding.Options{Structure: cased(), Measured: binding.Measured{Block: -3}}},
		"the board's thickness cannot be 40 mm":          {good, binding.Options{Structure: cased(), Measured: binding.Measured{Board: 40}}},
		"a leaf would be 2 mm thick":                     {good, binding.Options{Structure: cased(), Measured: binding.Measured{StackLeaves: 4, Stack: 8}}},
		"a stack of 0 leaves is too thin":                {good, binding.Options{Structure: cased(), Measured: binding.Measured{Stack: 8}}},
		"would be smaller than the leaves":               {good, binding.Options{Structure: wide}},
		"19 inner holes do not fit on a spine of 210 mm": {good, binding.Options{Structure: cased(), Measured: binding.Measured{Supports: 19}}},
		"stations at 12 mm, 300 mm do not fit":           {good, binding.Options{Structure: cased(), Measured: binding.Measured{Stations: []float64{12, 300}}}},
		"has one gathering, and this book has 20":        {good, binding.Options{Structure: pamphlet}},
		"is sewn through folds, and this book has":       {good, binding.Options{Structure: cased(), Edges: true}},
		"a book without leaves cannot be measured":       {binding.Book{}, binding.Options{Structure: cased()}},
		"there cannot be 21 supports: use 1 to 20":       {good, binding.Options{Structure: cased(), Measured: binding.Measured{Supports: 21}}},
	} {
		_, err := binding.Measure(c.b, c.o)
		if refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), what) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestFiguresAreWrittenAsFinelyAsHandsWork(t *testing.T) {
	mm, inches := binding.MM, binding.Inches
	for _, c := range []struct{ got, want string }{
		{mm.Length(binding.Exactly(145.325)), "145.5 mm"},
		{mm.Length(binding.Exactly(3.175)), "3.2 mm"},
		{mm.Length(binding.Range{Least: 14.4, Most: 17.6}), "14 to 18 mm"},
		{mm.Length(binding.Range{Least: 0.4, Most: 0.6}), "0.40 to 0.60 mm"},
		{inches.Length(binding.Exactly(5.875 * in)), "5 7/8 in"},
		{inches.Length(binding.Exactly(9 * in)), "9 in"},
		{inches.Length(binding.Exactly(3.0 / 32 * in)), "3/32 in"},
		{inches.Length(binding.Exactly(148.5)), "5 27/32 in"},
		{inches.Length(binding.Range{Least: 0.4, Most: 0.6}), "0.015 to 0.024 in"},
		{inches.Length(binding.Range{Least: 1.28, Most: 3.36}), "0.05 to 0.14 in"},
		{inches.Length(binding.Range{Least: 0.64, Most: 1.68}), "0.02 to 0.07 in"},
		{inches.Length(binding.Range{Least: 1.6, Most: 3.36}), "1/16 to 5/32 in"},
		{inches.Length(binding.Exactly(1)), "0.04 in"},
		{inches.Length(binding.Exactly(0.5)), "0.020 in"},
		{inches.Length(binding.Range{Least: 700, Most: 900}), "27 to 36 in"},
		{mm.Length(binding.Range{Least: 343.6, Most: 347.4}), "343 to 348 mm"},
		{mm.Length(binding.Range{Least: 1.28, Most: 3.36}), "1 to 3.5 mm"},
		{mm.Length(binding.Range{Least: 950, Most: 1131}), "950 to 1135 mm"},
		{inches.Length(binding.Range{Least: 25.5, Most: 26.5}), "1 to 1 1/16 in"},
		{inches.WidthByHeight(binding.Exactly(6*in), binding.Exactly(9*in)), "6 x 9 in"},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
}

// questions is what is asked, in one line.
func questions(s binding.Sheet) string {
	var out []string
	for _, q := range s.Questions {
		out = append(out, q.Text)
	}
	return strings.Join(out, "; ")
}
