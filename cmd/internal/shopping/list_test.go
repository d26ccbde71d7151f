package shopping

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
	"foldwright/reorder/sample"
)

// book is a volume of 12 gatherings that is bound by rules, as far as it has been measured.
func book(t *testing.T, name string, rules binding.Structure, leaf geom.Size, m binding.Measured) Book {
	t.Helper()
	b := binding.Book{
		Leaf: leaf, Bind: reorder.BindLeft, Leaves: 96, Gatherings: 12, Sheets: 48,
		Caliper: reorder.OfficeCaliper, CaliperOf: "office paper", Paper: "A4",
	}
	if rules.Sewn == binding.OneFold {
		b.Gatherings = 1
	}
	sheet, err := binding.Measure(b, binding.Options{Structure: rules, Measured: m})
	if err != nil {
		t.Fatal(name, err)
	}
	return Book{Name: name, Copies: 1, Sheet: sheet, Paper: "A4", Sheets: 53, Sewn: m.Block > 0}
}

func rulesOf(t *testing.T, name string) binding.Structure {
	t.Helper()
	s, err := structure.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var a5 = geom.Size{W: 148.5, H: 210}

// TestPiecesByTheHandbooks: with a joint of 6.35 mm and a square of 3.175 mm a block of 148.5 mm takes boards of 145.3 mm (common
// practice, no source), cut as 145.5. Boards are as high as the book and two squares (VAUGHN p. 117). Cloth is as wide as two
// boards, the back, two joints and 1 1/2 in, and as high as the board and 1 1/2 in (VAUGHN p. 118).
func TestPiecesByTheHandbooks(t *testing.T) {
	rules := rulesOf(t, "case")
	rules.Joint, rules.JointBoards, rules.Square, rules.TurnIn = binding.Exactly(6.35), binding.Range{}, binding.Exactly(3.175), binding.Exactly(19.05)
	b := book(t, "tides", rules, a5, binding.Measured{Block: 9, Spine: 14, Board: 2})
	l, err := Of([]Book{b}, Usual)
	if err != nil || len(l.Boards) != 1 || len(l.Boards[0].Sheets) != 1 {
		t.Fatalf("%+v, %v", l, err)
	}
	half := func(v float64) float64 { return math.Round(2*v) / 2 } // to what hands cut
	boards := l.Boards[0].Sheets[0].Pieces
	if len(boards) != 2 || boards[0].W != half(145.3) || boards[0].H != half(210+2*3.175) || l.Boards[0].Name != "board of 2 mm" {
		t.Errorf("boards: %+v", boards)
	}
	cloth := l.Cloth.Sheets[0].Pieces
	width, height := 2*145.325+14+2*6.35+1.5*25.4, 210+2*3.175+1.5*25.4
	if len(cloth) != 1 || cloth[0].W != half(width) || cloth[0].H != half(height) {
		t.Errorf("cloth: %+v, want %g x %g", cloth, width, height)
	}
}

// TestOnlyMeasuredBlocksAreCut: whatever was measured of many books, only pieces of those of which all was measured lie in the
// cutting plan, each as often as it is needed, and the others are told as estimates. What is bought is enough for all.
func TestOnlyMeasuredBlocksAreCut(t *testing.T) {
	random := sample.Random(t)
	for range 60 {
		var books []Book
		wantBoards, wantCovers, waits := 0, 0, 0
		for i := range 1 + random.IntN(7) {
			rules := rulesOf(t, structure.Names()[random.IntN(len(structure.Names()))])
			var m binding.Measured
			if random.IntN(3) > 0 {
				m.Block = 9.5
			}
			if random.IntN(3) > 0 {
				m.Board = []float64{2, 2.5}[random.IntN(2)]
			}
			if random.IntN(3) > 0 {
				m.Spine = 13
			}
			b := book(t, fmt.Sprintf("book%d", i), rules, geom.Size{W: 90 + 60*random.Float64(), H: 150 + 60*random.Float64()}, m)
			b.Copies = 1 + random.IntN(3)
			books = append(books, b)
			flat, paper := rules.Spine == binding.Flat, rules.Cover == binding.Paper
			if firm := m.Block > 0 && (m.Board > 0 || paper) && (m.Spine > 0 || flat); !firm {
				waits++
			} else if !paper {
				wantBoards += 2 * b.Copies
				if flat && rules.Cover == binding.Case {
					wantBoards += b.Copies
				}
				wantCovers += b.Copies
			}
		}
		l, err := Of(books, Usual)
		if err != nil {
			t.Fatal(err)
		}
		measured := func(p Laid) bool {
			return slices.ContainsFunc(books, func(b Book) bool { return b.Sheet.Firm && strings.HasPrefix(p.Of, b.Name+", ") })
		}
		boards, covers := 0, 0
		for _, s := range l.Boards {
			for _, sheet := range s.Sheets {
				for _, p := range sheet.Pieces {
					if boards++; !measured(p) {
						t.Fatalf("%+v is cut and not measured", p)
					}
				}
			}
			if s.Buy < len(s.Sheets) || s.Buy < 1 || s.Buy > s.Pieces {
				t.Fatalf("%s: %d bought, %d cut", s.Name, s.Buy, len(s.Sheets))
			}
		}
		for _, sheet := range l.Cloth.Sheets {
			for _, p := range sheet.Pieces {
				if covers++; !measured(p) {
					t.Fatalf("%+v is cut and not measured", p)
				}
			}
			if sheet.H > l.Cloth.Length {
				t.Fatalf("%g mm of cloth are bought, %g cut", l.Cloth.Length, sheet.H)
			}
		}
		if boards != wantBoards || covers != wantCovers || len(l.Waits) != waits {
			t.Fatalf("%d boards, %d covers, %d wait; want %d, %d, %d", boards, covers, len(l.Waits), wantBoards, wantCovers, waits)
		}
		var text, page bytes.Buffer
		if err := l.WriteText(&text); err != nil {
			t.Fatal(err)
		}
		if err := l.WritePage(&page); err != nil {
			t.Fatal(err)
		}
		for _, out := range []string{text.String(), page.String()} {
			if strings.Contains(out, ForBuying) != (waits > 0) {
				t.Fatalf("estimates are not told as such:\n%s", out)
			}
		}
		if plans := strings.Contains(page.String(), "Cutting plan</h2>"); plans != (wantBoards+wantCovers > 0) || plans != strings.Contains(page.String(), "Knives: ") {
			t.Fatalf("plans %t:\n%s", plans, page.String())
		}
	}
}

// TestSums: paper and thread are added up for what is not sewn yet (worked by hand: 53 sheets for one, 106 for two copies of another; thread
// for one, two and one, of which the printed one is not sewn yet).
func TestSums(t *testing.T) {
	one := book(t, "tides", rulesOf(t, "tapes"), a5, binding.Measured{})
	two := book(t, "birds", rulesOf(t, "tapes"), a5, binding.Measured{})
	two.Copies, two.Sheets = 2, 106
	sewn := book(t, "stores", rulesOf(t, "tapes"), a5, binding.Measured{Block: 9})
	printed := book(t, "keepers", rulesOf(t, "tapes"), a5, binding.Measured{})
	printed.Printed, printed.Paper = true, "buff"
	l, err := Of([]Book{one, two, sewn, printed}, Usual)
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Papers) != 1 || l.Papers[0] != (Bought{"A4", "159 sheets", "tides 53, birds 106"}) {
		t.Errorf("%+v", l.Papers)
	}
	f, _ := figure(one.Sheet, binding.ThreadToCut)
	if len(l.Thread) != 1 || l.Thread[0].Amount != binding.MM.ThreadLength(f.Amount.Times(4)) || l.Thread[0].For != "tides, birds, keepers" {
		t.Errorf("%+v, one takes %s", l.Thread, f.Value)
	}
	want := []string{"note: sewn already, so no paper and no thread is bought for stores", "note: printed already, so no paper is bought for keepers"}
	if !slices.Equal(l.Notes, want) {
		t.Errorf("%q", l.Notes)
	}
}

func TestTooLargeAPieceIsNamed(t *testing.T) {
	b := book(t, "tides", rulesOf(t, "tapes"), a5, binding.Measured{Block: 9, Board: 2})
	for _, c := range []struct {
		o    Options
		says string
	}{
		{Options{Board: geom.Size{W: 300, H: 200}, Cloth: 1000}, "tides, board of 144.5 x 216.5 mm does not fit on a sheet of board of 300 x 200 mm"},
		{Options{Board: Usual.Board, Cloth: 300}, "does not fit on cloth of a width of 300 mm"},
	} {
		if _, err := Of([]Book{b}, c.o); refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), c.says) || refusal.Hint(err).IsZero() {
			t.Errorf("%v, want %q", err, c.says)
		}
	}
	if l, err := Of(nil, Usual); err != nil || len(l.Sections()) != 0 || len(l.Plans()) != 0 {
		t.Errorf("%+v, %v", l, err)
	}
}

// TestCutsInWords: each cut is told, each piece is named by at most one, and all letters differ.
func TestCutsInWords(t *testing.T) {
	b := book(t, "tides", rulesOf(t, "tapes"), a5, binding.Measured{Block: 9, Board: 2})
	b.Copies = 14
	l, err := Of([]Book{b}, Usual)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range l.Plans() {
		letters := map[string]bool{}
		for _, n := range p.Pieces {
			letters[n.Letter] = true
			if got := strings.Count(strings.Join(p.Cuts, "\n"), "That is "+n.Letter+"."); got > 1 {
				t.Errorf("%s: %s is named by %d cuts", p.Title, n.Letter, got)
			}
		}
		if len(letters) != len(p.Pieces) || !strings.HasPrefix(p.Cuts[0], "Across the whole of the ") {
			t.Errorf("%s: %q", p.Title, p.Cuts)
		}
	}
}
