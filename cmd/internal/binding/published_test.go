package binding_test

import (
	"math"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Sources: COCKERELL, Bookbinding, and the Care of Books, 1901; ZAEHNSDORF, The
// Art of Bookbinding, 1890; VAUGHN, Printing and Bookbinding for Schools, 1912;
// BEAN and Brodhead, Bookbinding for Beginners, 1918.

const in = 25.4

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %.4f, want %.4f", what, got, want)
	}
}

func TestPublishedPaper(t *testing.T) {
	for _, c := range []struct {
		what         string
		got, want, e float64
	}{
		// Derived from 453.59237 g to the pound and the basis sheets.
		{"bond, g/m2 per lb", reorder.Bond.GSM(1), 3.7597, 5e-5},
		{"20 lb bond", reorder.Bond.GSM(20), 75.19, 5e-3},
		{"32 lb bond", reorder.Bond.GSM(32), 120.31, 5e-3},
		{"text", reorder.BookText.GSM(1), 1.4801, 5e-5},
		{"cover", reorder.Cover.GSM(1), 2.7041, 5e-5},
		{"index", reorder.IndexCard.GSM(1), 1.8080, 5e-5},
		{"60 lb text", reorder.BookText.GSM(60), 88.8, 0.05},
		{"60 lb read as bond", reorder.Bond.GSM(60), 225.6, 0.05},
	} {
		near(t, c.what, c.got, c.want, c.e)
	}
	// A sheet of A4 at 80 g/m2 weighs 4.99 g (derived): one leaf of a book.
	s := measure(t, binding.Book{Leaf: geom.Size{W: 210, H: 297}, Leaves: 1, Gatherings: 1, Sheets: 1,
		Caliper: reorder.OfficeCaliper, GSM: binding.Exactly(80)}, plain(), binding.Measured{})
	near(t, "A4 of 80 g/m2", amount(t, s.Before, "text block, weight").Least, 4.99, 5e-3)
	// A paper merchant's table: 8 pages of 0.016 in make 320 pages 0.64 in
	// thick. 8 pages are 4 leaves, so a stack of 4 measures 0.016 in.
	s = measure(t, binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 160, Gatherings: 10, Sheets: 40,
		Caliper: reorder.OfficeCaliper}, plain(), binding.Measured{StackLeaves: 4, Stack: 0.016 * in})
	near(t, "320 pages", s.Block.Least/in, 0.64, 1e-9)
	near(t, "320 pages", s.Block.Most/in, 0.64, 1e-9)
	// 0.016 in give 500 pages to the inch.
	s = measure(t, binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 250, Gatherings: 10, Sheets: 40,
		Caliper: reorder.OfficeCaliper}, plain(), binding.Measured{StackLeaves: 4, Stack: 0.016 * in})
	near(t, "500 pages", s.Block.Most/in, 1, 1e-9)
}

func TestPublishedStations(t *testing.T) {
	for _, c := range []struct {
		what     string
		change   func(*binding.Structure)
		height   float64
		asked    int
		ends     [2]float64
		supports []float64
	}{
		{"ZAEHNSDORF p. 20: six portions, the tail 1/2 in longer (derived for 210 mm); COCKERELL p. 98: kettles 1/4 in", func(s *binding.Structure) {
			s.Spacing, s.TailLonger, s.EndHead, s.EndTail = binding.Portions, binding.Exactly(in/2), binding.Exactly(in/4), binding.Exactly(in/4)
		}, 210, 5, [2]float64{6.35, 203.65}, []float64{32.88, 65.77, 98.65, 131.53, 164.42}},
		{"BEAN: three tapes, one in the middle, one 1 in from each end, kettles 1/2 in", func(s *binding.Structure) {
			s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(in), binding.Exactly(in), binding.Exactly(in/2), binding.Exactly(in/2)
		}, 7 * in, 3, [2]float64{12.7, 165.1}, []float64{25.4, 88.9, 152.4}},
		{"BEAN: three tapes, one in the middle, one 1 1/2 in from each end, kettles 1/2 in", func(s *binding.Structure) {
			s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(1.5*in), binding.Exactly(1.5*in), binding.Exactly(in/2), binding.Exactly(in/2)
		}, 8 * in, 3, [2]float64{12.7, 190.5}, []float64{38.1, 101.6, 165.1}},
		{"VAUGHN pp. 112, 124: top 1 in, bottom 1 1/2 in", func(s *binding.Structure) {
			s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(in), binding.Exactly(1.5*in), binding.Exactly(0.25*in), binding.Exactly(0.25*in)
		}, 8 * in, 2, [2]float64{6.35, 196.85}, []float64{25.4, 165.1}},
		{"VAUGHN pp. 112, 124: top 3/4 in, bottom 1 1/4 in", func(s *binding.Structure) {
			s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(0.75*in), binding.Exactly(1.25*in), binding.Exactly(0.25*in), binding.Exactly(0.25*in)
		}, 8 * in, 2, [2]float64{6.35, 196.85}, []float64{19.05, 171.45}},
		{"common practice, no source: five stations on 8 in", func(s *binding.Structure) {
			s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(1.5*in), binding.Exactly(1.5*in), binding.Exactly(in/2), binding.Exactly(in/2)
		}, 8 * in, 3, [2]float64{0.5 * in, 7.5 * in}, []float64{1.5 * in, 4 * in, 6.5 * in}},
	} {
		s := plain()
		c.change(&s)
		got, err := s.Stations(binding.MM, c.height, c.asked)
		if err != nil {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		near(t, c.what, got.Holes[0].At, c.ends[0], 5e-3)
		near(t, c.what, got.Holes[len(got.Holes)-1].At, c.ends[1], 5e-3)
		if len(got.Supports) != len(c.supports) {
			t.Errorf("%s: %v", c.what, got.Supports)
			continue
		}
		for i := range c.supports {
			near(t, c.what, got.Supports[i], c.supports[i], 5e-3)
		}
	}
}

// Of five stations, 1/2 in from the ends and 1 in further in, the gaps of an
// 8 in back are 63 mm, which is too wide; below about 4 in they collide (common
// practice, no source). Another number of supports resolves both.
func TestGapsAndCollisions(t *testing.T) {
	s := plain()
	s.Spacing, s.FirstHead, s.LastTail, s.EndHead, s.EndTail = binding.Ends, binding.Exactly(1.5*in), binding.Exactly(1.5*in), binding.Exactly(in/2), binding.Exactly(in/2)
	s.Heights, s.Numbers, s.NarrowGap = []binding.Range{binding.Exactly(300)}, []int{3}, binding.Exactly(in/2)
	for _, c := range []struct {
		height float64
		want   int
	}{{8 * in, 4}, {7.5 * in, 3}, {4 * in, 3}, {3.9 * in, 2}, {3.4 * in, 1}} {
		got, err := s.Stations(binding.MM, c.height, 0)
		if err != nil || len(got.Supports) != c.want || (len(got.Notes) > 0) != (c.want != 3) {
			t.Errorf("%.2f in: %d supports, %v, %v", c.height/in, len(got.Supports), got.Notes, err)
		}
	}
	if _, err := s.Stations(binding.MM, 3.9*in, 3); err == nil {
		t.Error("three supports on 3.9 in do not collide")
	}
	if got, err := s.Stations(binding.MM, 8*in, 3); err != nil || len(got.Notes) != 1 {
		t.Errorf("a wide gap that was asked for is not mentioned: %v, %v", got.Notes, err)
	}
	// Gaps at most about 60 mm: 2 supports below 130 mm, 3 to 210, 4 to 280.
	s = plain()
	for height, want := range map[float64]int{129: 2, 131: 3, 210: 3, 211: 4, 280: 4} {
		got, err := s.Stations(binding.MM, height, 0)
		if err != nil || len(got.Supports) != want {
			t.Errorf("%g mm: %d supports, %v", height, len(got.Supports), err)
		}
		for i := 1; i < len(got.Holes); i++ {
			if gap := got.Holes[i].At - got.Holes[i-1].At; gap > 60 {
				t.Errorf("%g mm: a gap of %.1f mm", height, gap)
			}
		}
	}
	// A support is not a station: a tape needs two holes.
	s.Support, s.Width = binding.Tapes, binding.Exactly(10)
	got, err := s.Stations(binding.MM, 200, 3)
	if err != nil || len(got.Supports) != 3 || len(got.Holes) != 8 {
		t.Errorf("three tapes have %d holes, %v", len(got.Holes), err)
	}
}

func TestPublishedSwelling(t *testing.T) {
	// COCKERELL p. 119: "in a book with twenty sections there will be in the
	// back, in addition to the thickness of the paper, twenty thicknesses of thread".
	s := plain()
	s.Pressed = binding.Range{Least: 0.4, Most: 0.7} // common practice, no source
	b := binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.MeasuredCaliper(0.1)}
	got := measure(t, b, s, binding.Measured{Thread: 0.5})
	near(t, "loose", amount(t, got.Before, "swelling before pressing, at most").Most, 20*0.5, 1e-9)
	near(t, "pressed, least", got.Swelling.Least, 4, 1e-9)
	near(t, "pressed, most", got.Swelling.Most, 7, 1e-9)
	near(t, "share", amount(t, got.Before, "swelling, share").Least, 0.25, 1e-9)
	// COCKERELL p. 107: two sheets on halves it.
	s.TwoOn = true
	near(t, "two on", measure(t, b, s, binding.Measured{Thread: 0.5}).Swelling.Most, 3.5, 1e-9)
	// Half of it on each side makes the shoulder (common practice, no source).
	s.TwoOn = false
	s.Spine, s.Cover, s.Board, s.Square, s.TurnIn = binding.Rounded, binding.Case, binding.Range{Least: 2, Most: 2.5}, binding.Exactly(in/8), binding.Exactly(0.75*in)
	from := figure(t, measure(t, b, s, binding.Measured{Thread: 0.5}).After, "backing shoulder").From
	if want := "half of the pressed swelling is 2 to 3.5 mm"; !strings.Contains(from, want) {
		t.Errorf("the shoulder is worked out from %q, which does not say %q", from, want)
	}
	// Wanted for a rounded back: 1/4 to 1/3 (common practice, no source).
	s.SwellWanted = binding.Range{Least: 0.25, Most: 1.0 / 3}
	for share, speaks := range map[float64]bool{0.2: true, 0.26: false, 0.33: false, 0.4: true} {
		if got := binding.SwellingAdvice(binding.Exactly(share), s) != ""; got != speaks {
			t.Errorf("a swelling of %g is spoken of: %t", share, got)
		}
	}
}

func TestPublishedBoardsAndCloth(t *testing.T) {
	measured := binding.Measured{Block: 20, Board: 2, Spine: in}
	of := func(leaf geom.Size, change func(*binding.Structure)) binding.Sheet {
		s := cased() // squares 1/8 in, joint 1/4 in, turn-ins 3/4 in
		change(&s)
		return measure(t, binding.Book{Leaf: leaf, Leaves: 200, Gatherings: 10, Sheets: 50, Caliper: reorder.OfficeCaliper}, s, measured)
	}
	// Common practice, no source: 148.5 mm block, 6.35 mm joint, 3.175 mm square.
	half := geom.Size{W: 148.5, H: 210}
	inCase := of(half, func(*binding.Structure) {})
	near(t, "case board, width", inCase.BoardW.Most, 145.3, 0.05)
	// Height = book + two squares; squares 1/8 to 3/16 in: VAUGHN p. 117.
	near(t, "case board, height", inCase.BoardH.Most, 210+2*3.175, 1e-9)
	// Laced on or without a joint: + 1/8 in wide, + 1/4 in high (common practice, no source).
	laced := of(half, func(s *binding.Structure) { s.Cover, s.Joint = binding.Boards, binding.Range{} })
	near(t, "laced board, width", laced.BoardW.Most, 148.5+in/8, 1e-9)
	near(t, "laced board, height", laced.BoardH.Most, 210+in/4, 1e-9)
	// VAUGHN p. 118: two boards + back + two joints + 1 1/2 in; board + 1 1/2 in: boards of 6 x 9 in, a back of 1 in.
	cloth := of(geom.Size{W: (6 + 0.25 - 0.125) * in, H: 8.75 * in}, func(*binding.Structure) {})
	near(t, "board, width", cloth.BoardW.Most/in, 6, 1e-9)
	near(t, "cloth, width", cloth.ClothW.Most/in, 12+1+0.5+1.5, 1e-9)
	near(t, "cloth, height", cloth.ClothH.Most/in, 10.5, 1e-9)
	// A flat back is covered over its thickness and two boards (common practice,
	// no source): 25 leaves of 0.4 mm, 2 mm boards, nothing swells.
	flat := of(half, func(s *binding.Structure) {}).Structure
	flat.Spine, flat.Pressed = binding.Flat, binding.Exactly(1e-9)
	sheet := measure(t, binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 25, Gatherings: 2, Sheets: 13, Caliper: reorder.MeasuredCaliper(0.4)},
		flat, binding.Measured{Board: 2})
	near(t, "flat back", amount(t, sheet.After, "spine strip").Most, 10+2*2, 1e-6)
	// Leather turned in "about an inch all round": COCKERELL p. 154.
	leather := of(geom.Size{W: 6 * in, H: 8.75 * in}, func(s *binding.Structure) { s.Cover, s.TurnIn = binding.Boards, binding.Exactly(in) })
	near(t, "leather, height", leather.ClothH.Most/in, 11, 1e-9)
	// A third of a circle is 1.209 times its chord and 0.289 of it deep (derived).
	near(t, "arc", binding.ArcOfChord, 1.209, 5e-4)
	near(t, "depth", binding.ArcDepth(binding.ArcOfChord, 1), 0.289, 5e-4)
}

func TestPublishedSewing(t *testing.T) {
	b := binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 400, Gatherings: 25, Sheets: 100, Caliper: reorder.MeasuredCaliper(0.1)}
	s := plain()
	s.Support, s.Slip, s.CordTimes, s.Pressed = binding.Cords, binding.Exactly(2*in), binding.Exactly(4), binding.Exactly(0.4)
	s.LacingHoles, s.Cover, s.Spine = binding.Exactly(in/2), binding.Boards, binding.Rounded
	s.Board, s.Square, s.TurnIn = binding.Range{Least: 2, Most: 2.5}, binding.Exactly(in/8), binding.Exactly(in)
	got := measure(t, b, s, binding.Measured{Block: 40, Thread: 0.5})
	// The back is the block and the pressed swelling, 25 x 0.5 x 0.4 = 5 mm.
	// Four times the book's thickness (ZAEHNSDORF p. 23) is more than slips of
	// 2 in each side (COCKERELL p. 114) from 33.9 mm on.
	near(t, "cords of a thick book", amount(t, got.Before, "cords").Most, 4*45, 1e-9)
	got = measure(t, b, s, binding.Measured{Block: 20, Thread: 0.5})
	near(t, "cords of a thinner book", amount(t, got.Before, "cords").Most, 25+4*in, 1e-9)
	// COCKERELL p. 132.
	near(t, "lacing holes", amount(t, got.After, "lacing holes, from the spine edge of the board").Least, in/2, 1e-9)
	// VAUGHN p. 115: the shoulder "about equal the thickness of the cardboard".
	near(t, "shoulder", amount(t, got.After, "backing shoulder").Most, 2.5, 1e-9)
	// VAUGHN: the corner cut off about one board's thickness from the corner.
	near(t, "corner", amount(t, got.After, "cover, corners cut off").Least, 2, 1e-9)
	// Thread (from memory): about kettle to kettle times the gatherings, one or two
	// lengths over; 2 in to start with (common practice, no source). The links take some more.
	const about = 0.04
	s.Over, s.Start = binding.Range{Least: 1, Most: 2}, binding.Exactly(2*in)
	got = measure(t, b, s, binding.Measured{})
	run := 210 - 2*12.0
	near(t, "thread, least", amount(t, got.Before, "thread to cut").Least, 26*run+2*in, about*(26*run+2*in))
	near(t, "thread, most", amount(t, got.Before, "thread to cut").Most, 27*run+2*in, about*(27*run+2*in))
	s.TwoOn = true
	got = measure(t, b, s, binding.Measured{})
	near(t, "thread two on", amount(t, got.Before, "thread to cut").Most, 15*run+2*in, about*(15*run+2*in))
}

// Roberts and Etherington, Bookbinding and the Conservation of Books: "the grain
// or machine direction running from head to tail". So grain-long paper is right
// when cuts and folds, counted as halvings, are even, and wrong when they are
// odd (derived).
func TestPublishedGrain(t *testing.T) {
	for _, c := range []struct {
		fold reorder.Fold
		cut  int
		long bool // grain-long paper is right
	}{
		{reorder.Quarto, 1, true}, {reorder.Sixteenmo, 1, true}, {reorder.Folio, 2, true},
		{reorder.Folio, 1, false}, {reorder.Octavo, 1, false}, {reorder.Quarto, 2, false}, {reorder.Folio, 4, false},
	} {
		form := reorder.Form{Fold: c.fold, Cut: c.cut, Nest: reorder.Inset, Bind: reorder.BindLeft}
		if got := form.SpineAlongHeight(geom.Size{W: 210, H: 297}); got != c.long {
			t.Errorf("%s, cut in %d: grain-long paper is right: %t", c.fold, c.cut, got)
		}
	}
}

// A merchant's guide: 20 lb bond 0.097 mm, 24 lb 0.12 mm; writing paper of 80 g/m2 about 0.10 mm.
func TestPublishedCaliper(t *testing.T) {
	for text, want := range map[string]float64{"20lb-bond": 0.097, "24lb-bond": 0.12, "80": 0.10} {
		var w reorder.Weight
		if err := w.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		c := w.Caliper()
		near(t, text, c.Usual, want, 0.005)
		if c.Least >= want || c.Most <= want {
			t.Errorf("%s: %g mm lies outside %g to %g", text, want, c.Least, c.Most)
		}
		// Whoever names the weight knows more than whoever names nothing.
		office := reorder.OfficeCaliper
		if told, untold := (c.Most-c.Least)/c.Usual, (office.Most-office.Least)/office.Usual; told >= untold {
			t.Errorf("%s: the thickness lies within %.0f percent, and within %.0f if no weight is named", text, told*100, untold*100)
		}
	}
}
