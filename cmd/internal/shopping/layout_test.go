package shopping

import (
	"fmt"
	"math"
	"testing"

	"foldwright/reorder/sample"
)

// block is what is in somebody's hand: a rectangle of board by its four edges.
type block struct{ left, head, right, tail float64 }

func same(a, b float64) bool { return math.Abs(a-b) < 1e-5 }

// guillotine cuts a sheet as it is told, every cut from edge to edge of one block, and takes from behind each cut what is left
// for it. It knows nothing of how the cuts were found.
func guillotine(s Sheet, spare float64) ([]block, error) {
	hand := []block{{0, 0, s.W, s.H}}
	for i, c := range s.Cuts {
		done := false
		for j, b := range hand {
			first, second := b, b
			switch {
			case c.Across && same(b.left, c.From) && same(b.right, c.To) && b.head < c.At && c.At < b.tail:
				first.tail, second.head = c.At, c.At+spare
				if !same(c.Off, c.At-b.head) {
					return nil, fmt.Errorf("cut %d: %g are said to come off, it is %g", i+1, c.Off, c.At-b.head)
				}
			case !c.Across && same(b.head, c.From) && same(b.tail, c.To) && b.left < c.At && c.At < b.right:
				first.right, second.left = c.At, c.At+spare
				if !same(c.Off, c.At-b.left) {
					return nil, fmt.Errorf("cut %d: %g are said to come off, it is %g", i+1, c.Off, c.At-b.left)
				}
			default:
				continue
			}
			hand[j] = first
			if second.head < second.tail && second.left < second.right {
				hand = append(hand, second)
			}
			done = true
			break
		}
		if !done {
			return nil, fmt.Errorf("cut %d does not go through any block from edge to edge: %+v of %+v", i+1, c, hand)
		}
	}
	return hand, nil
}

// check tells what is wrong with sheets that are to yield pieces.
func check(pieces []Piece, sheets []Sheet, w, h, spare float64) error {
	if len(sheets) > len(pieces) {
		return fmt.Errorf("%d sheets for %d pieces", len(sheets), len(pieces))
	}
	wanted := map[Piece]int{} // grain is kept: a piece that is turned is none of these
	for _, p := range pieces {
		wanted[p]++
	}
	for _, s := range sheets {
		for i, p := range s.Pieces {
			wanted[p.Piece]--
			if p.X < 0 || p.Y < 0 || p.X+p.W > w+1e-5 || p.Y+p.H > h+1e-5 || s.W != w || s.H != h {
				return fmt.Errorf("%+v leaves its sheet", p)
			}
			for _, q := range s.Pieces[:i] {
				if apart := max(p.X-(q.X+q.W), q.X-(p.X+p.W), p.Y-(q.Y+q.H), q.Y-(p.Y+p.H)); apart < spare-1e-5 {
					return fmt.Errorf("%+v and %+v are %g apart", p, q, apart)
				}
			}
		}
		blocks, err := guillotine(s, spare)
		if err != nil {
			return err
		}
		for i, p := range s.Pieces {
			free := 0
			for _, b := range blocks {
				if same(b.left, p.X) && same(b.head, p.Y) && same(b.right, p.X+p.W) && same(b.tail, p.Y+p.H) {
					free++
				}
			}
			named := 0
			for _, c := range s.Cuts {
				if c.Piece == i {
					named++
				}
			}
			if free != 1 || named > 1 {
				return fmt.Errorf("piece %d, %+v, is cut free %d times and named by %d cuts", i, p, free, named)
			}
		}
	}
	for p, n := range wanted {
		if n != 0 {
			return fmt.Errorf("%+v is laid out %d times too few", p, n)
		}
	}
	return nil
}

// TestLayoutsCanBeCut: no piece overlaps another, all lie on their sheets with their grain, each is cut free by cuts from
// edge to edge, and there are never more sheets than pieces.
func TestLayoutsCanBeCut(t *testing.T) {
	random := sample.Random(t)
	rounds := 2000
	if sample.Full() {
		rounds = 100_000
	}
	for range rounds {
		w, h := 300+random.Float64()*900, 300+random.Float64()*900
		spare := []float64{0, 2, 5.5}[random.IntN(3)]
		var pieces []Piece
		kinds := 1 + random.IntN(5)
		for range 1 + random.IntN(20) {
			if len(pieces) >= kinds {
				pieces = append(pieces, pieces[random.IntN(kinds)])
				continue
			}
			p := Piece{W: 5 + random.Float64()*(w-5), H: 5 + random.Float64()*(h-5)}
			switch random.IntN(6) {
			case 0:
				p.W = w
			case 1:
				p.H = h
			case 2:
				p.W = (w - spare) / 2
			case 3:
				p.H = (h - 2*spare) / 3
			}
			pieces = append(pieces, p)
		}
		sheets, tooLarge := LayOut(pieces, w, h, spare)
		if tooLarge != nil {
			t.Fatalf("%+v is too large for %g x %g", *tooLarge, w, h)
		}
		if err := check(pieces, sheets, w, h, spare); err != nil {
			t.Fatalf("%v\n%+v on %g x %g, spare %g:\n%+v", err, pieces, w, h, spare, sheets)
		}
	}
}

// TestLayoutByHand: on 700 x 1000 mm, 2 mm between them, eight boards of 145 x 216 mm and two of 180 x 260 mm lie so (worked by
// hand). The tallest come first: a strip of 260 mm takes both of these, 362 mm, and two of the smaller ones, 146 more
// each, to 656 mm; a fifth would end at 803. The next strip begins at 262 mm and takes four of them, to 586 mm, as a fifth would end at 733. The
// last two lie in a strip that begins at 480 mm. So there is one sheet, and 696 mm of its length are used. Cuts: three strips; four, four and two
// pieces off them; and two of the first strip are shortened.
func TestLayoutByHand(t *testing.T) {
	var pieces []Piece
	for range 8 {
		pieces = append(pieces, Piece{"small", 145, 216})
	}
	pieces = append(pieces, Piece{"large", 180, 260}, Piece{"large", 180, 260})
	sheets, tooLarge := LayOut(pieces, 700, 1000, 2)
	if tooLarge != nil || len(sheets) != 1 {
		t.Fatalf("%v, %d sheets", tooLarge, len(sheets))
	}
	s := sheets[0]
	want := []Laid{
		{Piece{"large", 180, 260}, 0, 0}, {Piece{"large", 180, 260}, 182, 0}, {Piece{"small", 145, 216}, 364, 0}, {Piece{"small", 145, 216}, 511, 0},
		{Piece{"small", 145, 216}, 0, 262}, {Piece{"small", 145, 216}, 147, 262}, {Piece{"small", 145, 216}, 294, 262}, {Piece{"small", 145, 216}, 441, 262},
		{Piece{"small", 145, 216}, 0, 480}, {Piece{"small", 145, 216}, 147, 480},
	}
	if fmt.Sprint(s.Pieces) != fmt.Sprint(want) || s.Length() != 696 || len(s.Cuts) != 3+10+2 {
		t.Errorf("%v\nlong %g, %d cuts; want\n%v", s.Pieces, s.Length(), len(s.Cuts), want)
	}
	if err := check(pieces, sheets, 700, 1000, 2); err != nil {
		t.Error(err)
	}
	// They fill more than one sheet of half the length.
	if sheets, _ := LayOut(pieces, 700, 500, 2); len(sheets) != 2 {
		t.Errorf("%d sheets of half the length", len(sheets))
	}
	// A piece would fit if it were turned, and is not.
	if _, tooLarge := LayOut([]Piece{{"wide", 800, 300}}, 700, 1000, 2); tooLarge == nil || tooLarge.Of != "wide" {
		t.Errorf("%+v", tooLarge)
	}
	if sheets, tooLarge := LayOut(nil, 700, 1000, 2); sheets != nil || tooLarge != nil {
		t.Errorf("nothing takes %v", sheets)
	}
	// A roll is as long as is needed.
	roll, _ := LayOut(pieces, 700, math.Inf(1), 2)
	if len(roll) != 1 || roll[0].cutOff().H != 696 {
		t.Errorf("%v", roll)
	}
}

// TestACheckThatFindsNothing finds what is wrong with layouts that are wrong.
func TestACheckThatFindsNothing(t *testing.T) {
	pieces := []Piece{{"a", 100, 200}, {"b", 100, 150}}
	for name, spoil := range map[string]func(*Sheet){
		"overlap":    func(s *Sheet) { s.Pieces[1].X -= 3 },
		"outside":    func(s *Sheet) { s.Pieces[1].X = 650 },
		"turned":     func(s *Sheet) { s.Pieces[1].W, s.Pieces[1].H = s.Pieces[1].H, s.Pieces[1].W },
		"no cut":     func(s *Sheet) { s.Cuts = s.Cuts[:len(s.Cuts)-1] },
		"half a cut": func(s *Sheet) { s.Cuts[0].To = 300 },
		"order":      func(s *Sheet) { s.Cuts[0], s.Cuts[1] = s.Cuts[1], s.Cuts[0] },
		"a piece":    func(s *Sheet) { s.Pieces = s.Pieces[:1] },
	} {
		sheets, _ := LayOut(pieces, 700, 1000, 2)
		if err := check(pieces, sheets, 700, 1000, 2); err != nil {
			t.Fatal(err)
		}
		spoil(&sheets[0])
		if check(pieces, sheets, 700, 1000, 2) == nil {
			t.Errorf("%s is not found", name)
		}
	}
}
