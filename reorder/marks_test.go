package reorder

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"foldwright/reorder/geom"
)

// Signature letters: "generally leaving out J, V, W" (Zaehnsdorf, The Art of
// Bookbinding, 1890, p. 13): 23 letters, then a second alphabet, AA.
func TestSign(t *testing.T) {
	var letters strings.Builder
	for i := 1; i <= 23; i++ {
		letters.WriteString(Sign(i))
	}
	if got := letters.String(); got != "ABCDEFGHIKLMNOPQRSTUXYZ" || strings.ContainsAny(got, "JVW") {
		t.Errorf("the alphabet is %s", got)
	}
	for gathering, want := range map[int]string{9: "I", 10: "K", 23: "Z", 24: "AA", 25: "BB", 46: "ZZ", 47: "AAA"} {
		if got := Sign(gathering); got != want {
			t.Errorf("gathering %d is %s, want %s", gathering, got, want)
		}
	}
	if got := Numbers.Name(12) + Letters.Name(2) + Unsigned.Name(3); got != "12B" {
		t.Errorf("names are %s", got)
	}
}

// someStations is six holes along a back, in pairs as for tapes.
func someStations(height float64) []float64 {
	var out []float64
	for _, share := range []float64{0.06, 0.3, 0.35, 0.65, 0.7, 0.94} {
		out = append(out, share*height)
	}
	return out
}

// everyMark is a marking with all there is.
func everyMark(leaf geom.Size, trim Trim, bind Bind) Marking {
	return Marking{
		Folds: true, Cuts: true, Steps: true, Corners: true, Signing: Letters,
		Stations: someStations(bind.TurnToSide(trim.Of(leaf, bind)).H), Trim: trim, Creep: 0.1, Margin: 4.5, CornerMargin: 0, Taken: 0,
	}
}

// markedBooks calls see with books of every form, marked.
func markedBooks(t *testing.T, see func(name string, book Book, m Marking, marks map[int][]Mark)) {
	t.Helper()
	for _, fold := range Folds() {
		for _, cut := range []int{1, 2, 4} {
			if cut > 1 && fold.Scheme().Whole {
				continue
			}
			for _, bind := range []Bind{BindLeft, BindRight, BindTop} {
				form, _ := anyForm(fold, bind)
				form.Cut = cut
				for _, trim := range []Trim{{}, {Head: 4, Tail: 5, ForeEdge: 6}} {
					sizes := []int{2, 1, 2}
					switch s := fold.Scheme(); {
					case s.OneStack:
						sizes = []int{5}
					case s.Alone:
						sizes = []int{1, 1, 1, 1, 1}
					}
					book, err := Arrange(geom.Size{W: 297, H: 420}, form, numbered(5*form.PagesPerSheet()), eachAlone(sizes))
					if err != nil {
						t.Fatal(err)
					}
					m := everyMark(book.PanelSize(), trim, bind)
					see(fmt.Sprintf("%s, cut %d, %s, %v", fold, cut, bind, trim), book, m, m.Marks(book))
				}
			}
		}
	}
}

// TestMarksStayOffThePages: every mark lies on a crease or cut, which is the
// border of two panels, or within the strip at a fold that is sewn through, or
// in what is trimmed off.
func TestMarksStayOffThePages(t *testing.T) {
	seen := map[MarkKind]int{}
	markedBooks(t, func(name string, book Book, m Marking, marks map[int][]Mark) {
		for _, s := range book.Sheets() {
			for _, mark := range marks[s.Number] {
				seen[mark.Kind]++
				points := mark.Points
				if mark.Kind == SignMark {
					points = signBox(mark)
				}
				for _, p := range points {
					if !isInside(p, book.Sheet.Rect()) {
						t.Fatalf("%s: mark %v leaves the sheet at %v", name, mark, p)
					}
					for _, panel := range s.Side(mark.Side) {
						if depth := intoPage(p, panel, m); depth > 1e-6 {
							t.Fatalf("%s, sheet %d: %v stands %.2f mm in the page at place %d", name, s.Number, mark, depth, panel.Place)
						}
						if mark.Kind == CornerMark && isInside(p, panel.TrimmedRect(m.Trim, m.Creep)) {
							t.Fatalf("%s, sheet %d: %v touches the page at place %d", name, s.Number, mark, panel.Place)
						}
					}
				}
			}
		}
	})
	for kind := FoldTick; kind <= CornerMark; kind++ {
		if seen[kind] == 0 {
			t.Errorf("no mark of kind %d was drawn", kind)
		}
	}
}

// signBox is the corners of a name's capitals, taken as high as they are and
// as wide as the widest letters of the font, which are less than a square.
func signBox(m Mark) []geom.Point {
	at, along := m.Points[0], m.Along
	up := geom.Point{X: -along.Y, Y: along.X}
	w, h := SignSize*float64(len(m.Text)), SignSize*0.72
	corner := func(a, b float64) geom.Point {
		return geom.Point{X: at.X + along.X*a + up.X*b, Y: at.Y + along.Y*a + up.Y*b}
	}
	return []geom.Point{corner(0, 0), corner(w, 0), corner(0, h), corner(w, h)}
}

// intoPage is how far a point lies within the part of a panel that belongs to
// the page: the trimmed leaf without the strip at its fold.
func intoPage(p geom.Point, panel Panel, m Marking) float64 {
	r := panel.TrimmedRect(m.Trim, m.Creep)
	switch panel.Spine {
	case geom.Up:
		r.Y1 -= FoldStrip
	case geom.Down:
		r.Y0 += FoldStrip
	case geom.Left:
		r.X0 += FoldStrip
	case geom.Right:
		r.X1 -= FoldStrip
	}
	return math.Min(math.Min(p.X-r.X0, r.X1-p.X), math.Min(p.Y-r.Y0, r.Y1-p.Y))
}

// TestEachMarkCanBeTurnedOff draws one kind at a time.
func TestEachMarkCanBeTurnedOff(t *testing.T) {
	form := Form{Fold: Quarto, Cut: 2, Nest: Inset, Bind: BindLeft}
	book := oneGathering(t, form, 2)
	trim := Trim{4, 5, 6}
	if got := (Marking{Trim: trim}).Marks(book); len(got) > 0 {
		t.Errorf("no marks: %v", got)
	}
	for _, c := range []struct {
		m    Marking
		want []MarkKind
	}{
		{Marking{Folds: true}, []MarkKind{FoldTick}},
		{Marking{Cuts: true}, []MarkKind{CutTick}},
		{Marking{Steps: true}, []MarkKind{StepMark}},
		{Marking{Signing: Numbers}, []MarkKind{SignMark}},
		{Marking{Stations: []float64{20}}, []MarkKind{StationTick, HeadMark}},
		{Marking{Corners: true}, []MarkKind{CornerMark}},
	} {
		c.m.Trim = trim
		kinds := map[MarkKind]bool{}
		for _, marks := range c.m.Marks(book) {
			for _, m := range marks {
				kinds[m.Kind] = true
			}
		}
		for k := FoldTick; k <= CornerMark; k++ {
			if kinds[k] != slices.Contains(c.want, k) {
				t.Errorf("%+v: kind %d drawn: %v", c.m, k, kinds[k])
			}
		}
	}
}

// TestStairs: every gathering has one step on the fold between its first and
// its last page, and each is directly below the one before it, in each volume.
func TestStairs(t *testing.T) {
	sizes := []int{2, 2, 2, 2, 2, 2, 2}
	book, err := Arrange(geom.Size{W: 210, H: 297}, FolioForm, numbered(56), eachAlone(sizes))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name    string
		volumes []Volume
		taken   float64
		first   float64 // mm from the head, of gathering 1
		height  float64
	}{
		{"free fold", nil, 0, 9.5, 8},
		{"below a name", nil, 62, 66, 8},
		{"a long name", nil, 150, 154, (190.5 - 154) / 7},
		{"two volumes", []Volume{{First: 1, Gatherings: 4}, {First: 5, Gatherings: 3}}, 62, 66, 8},
	} {
		m := Marking{Steps: true, Margin: 4.5, Taken: c.taken, Volumes: c.volumes}
		marks := m.Marks(book)
		want := c.first
		for _, g := range book.Gatherings {
			if len(c.volumes) > 0 && g.Number == c.volumes[1].First {
				want = c.first
			}
			var steps []Mark
			for _, s := range g.Sheets {
				steps = append(steps, marks[s.Number]...)
			}
			if len(steps) != 1 || steps[0].Side != Front || len(marks[g.Sheets[0].Number]) != 1 {
				t.Fatalf("%s: gathering %d has steps %v", c.name, g.Number, steps)
			}
			// On the front of a folio the heads lie at x = 0 and page 1 above the fold.
			p := steps[0].Points
			if math.Abs(p[0].X-want) > 1e-9 || math.Abs(p[1].X-want-c.height) > 1e-9 || math.Abs(p[0].Y-148.5-2) > 1e-9 || math.Abs(p[2].Y-148.5+2) > 1e-9 {
				t.Errorf("%s: the step of gathering %d is %v, want it from %.2f on, %.2f mm high", c.name, g.Number, p, want, c.height)
			}
			want += c.height
		}
	}
}

// TestManyGatherings begin again at the top, each flight as long as it can be.
func TestManyGatherings(t *testing.T) {
	sizes := slices.Repeat([]int{1}, 100)
	book, err := Arrange(geom.Size{W: 105, H: 148}, FolioForm, numbered(400), eachAlone(sizes))
	if err != nil {
		t.Fatal(err)
	}
	marks := Marking{Steps: true, Margin: 4.5}.Marks(book)
	var starts []float64
	for _, s := range book.Sheets() {
		starts = append(starts, marks[s.Number][0].Points[0].X)
	}
	flight := slices.Index(starts[1:], starts[0]) + 1
	if flight < 30 {
		t.Fatalf("a flight has %d steps: %v", flight, starts)
	}
	for i, s := range starts {
		if math.Abs(s-starts[0]-2.0*float64(i%flight)) > 0.1*float64(i%flight) || s > 105-14 {
			t.Errorf("step %d begins at %.2f mm", i+1, s)
		}
	}
}

// TestSignatureStandsAtTheFootOfTheFirstPage, outside when the sheet is
// rightly folded (Zaehnsdorf 1890, p. 4).
func TestSignatureStandsAtTheFootOfTheFirstPage(t *testing.T) {
	markedBooks(t, func(name string, book Book, m Marking, marks map[int][]Mark) {
		for _, g := range book.Gatherings {
			for _, s := range g.Sheets {
				for _, mark := range marks[s.Number] {
					if mark.Kind != SignMark {
						continue
					}
					if s.Number != g.Sheets[0].Number || mark.Side != Front || mark.Text != Sign(g.Number) {
						t.Fatalf("%s: %q stands on the %s of sheet %d of gathering %d", name, mark.Text, mark.Side, s.Number, g.Number)
					}
					for _, p := range s.Front {
						box := signBox(mark)
						on := 0
						for _, corner := range box {
							if isInside(corner, p.Rect) {
								on++
							}
						}
						if on == len(box) != (p.Place == 1) {
							t.Fatalf("%s: the name of gathering %d has %d corners on the page at place %d", name, g.Number, on, p.Place)
						}
						if p.Place == 1 {
							head, tail := p.SpineEdge()
							if a, b := distance(mark.Points[0], head), distance(mark.Points[0], tail); b > 25 || a < b {
								t.Fatalf("%s: the name stands %.1f mm from the head and %.1f from the tail", name, a, b)
							}
						}
					}
				}
			}
		}
	})
}

// TestStationsInTheInnermostFold are at their places from the trimmed head.
func TestStationsInTheInnermostFold(t *testing.T) {
	markedBooks(t, func(name string, book Book, m Marking, marks map[int][]Mark) {
		if book.Form.Fold.Scheme().Held != Sewn {
			return // no holes through a fold
		}
		for _, g := range book.Gatherings {
			n := len(g.Pages)
			var ticks, heads int
			for _, s := range g.Sheets {
				for _, p := range slices.Concat(s.Front, s.Back) {
					if p.Place != n/2 {
						continue
					}
					head, _ := p.SpineEdge()
					for _, mark := range marks[s.Number] {
						switch mark.Kind {
						case HeadMark:
							heads++
							if d := distance(mark.Points[0], head); d > 4.5+1e-9 || d < m.Trim.Head-1e-9 {
								t.Fatalf("%s: the head mark lies %.1f mm from the head", name, d)
							}
						case StationTick:
							ticks++
							from := math.Sqrt(math.Pow(distance(mark.Points[0], head), 2) - 1.5*1.5)
							if !slices.ContainsFunc(m.Stations, func(s float64) bool { return isNear(s+m.Trim.Head, from) }) {
								t.Fatalf("%s: a station %.2f mm from the head, want one of %v and the trim", name, from, m.Stations)
							}
						}
					}
				}
			}
			if ticks != 2*len(m.Stations) || heads != 1 {
				t.Fatalf("%s, gathering %d: %d ticks for %d stations, %d head marks", name, g.Number, ticks, len(m.Stations), heads)
			}
		}
	})
}

// TestTicks of a quarto cut in two: one cut across the sheet, each piece with
// two creases, ticked at their ends on both sides.
func TestTicks(t *testing.T) {
	book := oneGathering(t, Form{Fold: Quarto, Cut: 2, Nest: Inset, Bind: BindLeft}, 1)
	m := Marking{Folds: true, Cuts: true, Margin: 5}
	got := map[string]int{}
	for _, mark := range m.Marks(book)[1] {
		a, b := mark.Points[0], mark.Points[1]
		got[fmt.Sprintf("%s %v-%v %v-%v", mark.Side, a.X, b.X, a.Y, b.Y)] += int(mark.Kind)
	}
	want := map[string]int{
		"front 5-9 148.5-148.5": 2, "front 201-205 148.5-148.5": 2, // the cut, on the front only
	}
	for _, side := range []string{"front", "back"} {
		for _, y := range []float64{74.25, 222.75} {
			want[fmt.Sprintf("%s 5-9 %v-%v", side, y, y)] = 1
			want[fmt.Sprintf("%s 201-205 %v-%v", side, y, y)] = 1
		}
		for _, y := range []string{"5-9", "144.5-148.5", "148.5-152.5", "288-292"} {
			want[fmt.Sprintf("%s 105-105 %s", side, y)] = 1
		}
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

func isInside(p geom.Point, r geom.Rect) bool { return p.Rect().IsWithin(r, 1e-6) }

func distance(a, b geom.Point) float64 { return a.Minus(b).Length() }

func isNear(a, b float64) bool { return math.Abs(a-b) < 1e-6 }

// eachAlone is gatherings that are cut one by one.
func eachAlone(sizes []int) (stacks [][]int) {
	for _, n := range sizes {
		stacks = append(stacks, []int{n})
	}
	return stacks
}
