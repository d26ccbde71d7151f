package virtual

import (
	"errors"
	"slices"
	"testing"

	"foldwright/printer"
	"foldwright/reorder/geom"
)

// usual is the case that is assumed where nothing is known of a printer.
var usual = printer.Facts{
	TwoSided: printer.ByHand, FeedFace: printer.FeedUp, FeedFrom: printer.FromTop,
	Lands: printer.FaceDown, Stacks: printer.OnTop, Sends: printer.FirstPageFirst,
	Reload: printer.AsDelivered, FlipEdge: printer.ShortEdge,
}

func mustNew(t *testing.T, f printer.Facts) *Printer[int] {
	t.Helper()
	p, err := New[int](f)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// The usual case, followed with three slips of paper in the hand: the first
// sheet lands face down and the others on it, so that the third lies on top.
// It is fed first, so the backs go 3, 2, 1, and the first ends on top.
func TestUsualCaseByHand(t *testing.T) {
	p := mustNew(t, usual)
	got, err := p.Make([]int{1, 2, 3}, []int{-3, -2, -1})
	if err != nil {
		t.Fatal(err)
	}
	want := []Finished[int]{
		{Seen[int]{Image: 1, Printed: true}, Seen[int]{Image: -1, Printed: true, Turned: true}},
		{Seen[int]{Image: 2, Printed: true}, Seen[int]{Image: -2, Printed: true, Turned: true}},
		{Seen[int]{Image: 3, Printed: true}, Seen[int]{Image: -3, Printed: true, Turned: true}},
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// One pass, the same printer: the stack lies face down with the first sheet
// undermost, so turning it over shows 1 to 3.
func TestOnePass(t *testing.T) {
	got, err := mustNew(t, usual).Make([]int{1, 2, 3})
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range got {
		if s.Front != (Seen[int]{Image: i + 1, Printed: true}) || s.Back.Printed {
			t.Errorf("sheet %d from the top is %+v", i+1, s)
		}
	}
	f := usual
	f.Lands, f.Reload = printer.FaceUp, printer.TurnLong
	if got, err = mustNew(t, f).Make([]int{1, 2, 3}); err != nil || got[0].Front.Image != 3 {
		t.Errorf("face up on top: %v, %v; the last sheet should be uppermost", got, err)
	}
}

// For every printer exactly one order of the front file and one of the back
// file give the finished stack 1 to 3; the back is turned if, and only if, the
// flip-edge is the short one.
func TestEveryPrinterHasOneRightPairOfFiles(t *testing.T) {
	orders := [][]int{{1, 2, 3}, {1, 3, 2}, {2, 1, 3}, {2, 3, 1}, {3, 1, 2}, {3, 2, 1}}
	for _, f := range All() {
		p := mustNew(t, f)
		right := 0
		for _, fronts := range orders {
			for _, backs := range orders {
				files := [][]int{fronts, backs}
				if f.TwoSided == printer.Automatic {
					var both []int
					for i := range fronts {
						both = append(both, fronts[i], backs[i])
					}
					files = [][]int{both}
				}
				stack, err := p.Make(files...)
				if err != nil {
					t.Fatalf("%+v: %v", f, err)
				}
				good := true
				for i, s := range stack {
					good = good && s.Front.Image == i+1 && s.Back.Image == i+1
					if s.Front.Turned || s.Back.Turned != (f.FlipEdge == printer.ShortEdge) {
						t.Errorf("%+v: sheet %+v", f, s)
					}
				}
				if good {
					right++
				}
			}
		}
		if right != 1 {
			t.Errorf("%+v: %d pairs of files are right, want 1", f, right)
		}
	}
}

func TestOverprint(t *testing.T) {
	p := mustNew(t, usual)
	for reload, blank := range map[printer.Reload]bool{
		printer.AsDelivered: true, printer.RotateHalf: true,
		printer.TurnLong: false, printer.TurnShort: false,
	} {
		stack, err := p.Print(Blank[int](2), []int{1, 2})
		if err != nil {
			t.Fatal(err)
		}
		if stack, err = Reload(stack, reload); err != nil {
			t.Fatal(err)
		}
		_, err = p.Print(stack, []int{-2, -1})
		if blank && err != nil || !blank && !errors.Is(err, ErrOverprint) {
			t.Errorf("reload %d: %v, blank face: %t", reload, err, blank)
		}
	}
	f := printer.Facts{
		TwoSided: printer.Automatic, Lands: printer.FaceUp, Stacks: printer.OnTop,
		Sends: printer.FirstPageFirst, FlipEdge: printer.LongEdge,
	}
	auto := mustNew(t, f)
	stack, err := auto.PrintBoth(Blank[int](1), []int{1, -1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err = auto.PrintBoth(stack, []int{1, -1}); !errors.Is(err, ErrOverprint) {
		t.Errorf("automatic: %v, want an overprint", err)
	}
}

func TestSheetsAndPagesDontMatch(t *testing.T) {
	hand := mustNew(t, usual)
	auto := mustNew(t, printer.Facts{
		TwoSided: printer.Automatic, Lands: printer.FaceUp, Stacks: printer.OnTop,
		Sends: printer.FirstPageFirst, FlipEdge: printer.LongEdge,
	})
	for _, c := range []struct {
		name   string
		print  func(Stack[int], []int) (Stack[int], error)
		sheets int
		file   []int
		want   error
	}{
		{"by hand", hand.Print, 2, []int{1, 2, 3}, ErrTooFew},
		{"by hand", hand.Print, 4, []int{1, 2, 3}, ErrTooMany},
		{"by hand", hand.Print, 3, []int{1, 2, 3}, nil},
		{"by hand, both sides", hand.PrintBoth, 1, []int{1, 2}, ErrTwoSided},
		{"automatic", auto.PrintBoth, 1, []int{1, 2, 3, 4}, ErrTooFew},
		{"automatic", auto.PrintBoth, 3, []int{1, 2, 3, 4}, ErrTooMany},
		{"automatic", auto.PrintBoth, 2, []int{1, 2, 3}, ErrOdd},
		{"automatic", auto.PrintBoth, 2, []int{1, 2, 3, 4}, nil},
		{"automatic, one side", auto.Print, 2, []int{1, 2}, ErrTwoSided},
	} {
		_, err := c.print(Blank[int](c.sheets), c.file)
		if !errors.Is(err, c.want) {
			t.Errorf("%s, %d sheets, %d pages: %v, want %v", c.name, c.sheets, len(c.file), err, c.want)
		}
	}
	if _, err := auto.Make([]int{1, 2}, []int{3, 4}); !errors.Is(err, ErrTwoSided) {
		t.Errorf("two files for an automatic printer: %v", err)
	}
	if _, err := hand.Make([]int{1, 2}, []int{3}); !errors.Is(err, ErrTooMany) {
		t.Errorf("a back file too short: %v", err)
	}
}

func TestFactsMissing(t *testing.T) {
	for name, spoil := range map[string]func(*printer.Facts){
		"two-sided": func(f *printer.Facts) { f.TwoSided = 0 },
		"feed-face": func(f *printer.Facts) { f.FeedFace = 0 },
		"feed-from": func(f *printer.Facts) { f.FeedFrom = 3 },
		"lands":     func(f *printer.Facts) { f.Lands = 0 },
		"stacks":    func(f *printer.Facts) { f.Stacks = -1 },
		"sends":     func(f *printer.Facts) { f.Sends = 0 },
		"reload":    func(f *printer.Facts) { f.Reload = 5 },
		"flip-edge": func(f *printer.Facts) { f.FlipEdge = 0 },
		"automatic": func(f *printer.Facts) { f.TwoSided = printer.Automatic },
	} {
		f := usual
		spoil(&f)
		if _, err := New[int](f); !errors.Is(err, ErrFacts) {
			t.Errorf("%s: %v, want %v", name, err, ErrFacts)
		}
	}
	f := usual
	f.Reload = printer.TurnLong
	if _, err := New[int](f); !errors.Is(err, ErrNoPrinter) {
		t.Errorf("turned over twice: %v, want %v", err, ErrNoPrinter)
	}
	if _, err := Reload(Blank[int](1), 0); !errors.Is(err, ErrReload) {
		t.Errorf("no reload: %v", err)
	}
}

// The loaded stack must stay as it was, so that one stack can be tried twice.
func TestPrintLeavesTheLoadedStackAlone(t *testing.T) {
	p, stack := mustNew(t, usual), Blank[int](2)
	for range 2 {
		if _, err := p.Print(stack, []int{1, 2}); err != nil {
			t.Fatal(err)
		}
	}
}

func TestFinishRefuses(t *testing.T) {
	stack, err := mustNew(t, usual).Print(Blank[int](2), []int{1, 2})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Finish(append(slices.Clone(stack), Blank[int](1)...)); !errors.Is(err, ErrUnprinted) {
		t.Errorf("a blank sheet: %v", err)
	}
	stack[1] = stack[1].move(AboutLong)
	if _, err := Finish(stack); !errors.Is(err, ErrMixed) {
		t.Errorf("one sheet turned over: %v", err)
	}
	stack[1] = stack[1].move(AboutShort)
	done, err := Finish(stack)
	if err != nil || !done[1].Front.Turned && !done[0].Front.Turned {
		t.Errorf("one sheet turned half round: %+v, %v", done, err)
	}
}

// Pin readings of the test sheet, design 3: K2 is a turn about the long edge,
// K4 about the short one. Front corners K L M N and back corners 1 2 3 4 go
// clockwise from the head's left; the pin goes from (x, y) of the front to
// (W - x, y) of the back.
func TestPinReading(t *testing.T) {
	size := geom.Size{W: 210, H: 297}
	clockwise := []geom.Point{{X: 0, Y: 297}, {X: 210, Y: 297}, {X: 210, Y: 0}, {X: 0, Y: 0}}
	for _, f := range All() {
		files := [][]int{{1}, {2}}
		if f.TwoSided == printer.Automatic {
			files = [][]int{{1, 2}}
		}
		done, err := mustNew(t, f).Make(files...)
		if err != nil {
			t.Fatal(err)
		}
		pin := done[0].Front.Place(clockwise[0], size)
		pin.X = size.W - pin.X
		read := 0
		for i, corner := range clockwise {
			if done[0].Back.Place(corner, size) == pin {
				read = i + 1
			}
		}
		want := map[printer.FlipEdge]int{printer.LongEdge: 2, printer.ShortEdge: 4}[f.FlipEdge]
		if read != want {
			t.Errorf("%+v: K%d, want K%d", f, read, want)
		}
	}
}

// PWG 5102.4, sheet-back: normal with the long edge leaves both signs,
// manual-tumble with the short edge turns both.
func TestSheetBackSigns(t *testing.T) {
	for edge, sign := range map[printer.FlipEdge]float64{printer.LongEdge: 1, printer.ShortEdge: -1} {
		f := usual
		f.FlipEdge = edge
		done, err := mustNew(t, f).Make([]int{1}, []int{2})
		if err != nil {
			t.Fatal(err)
		}
		if got := done[0].Back.Direction(geom.Point{X: 1, Y: 2}); got != (geom.Point{X: sign, Y: 2 * sign}) {
			t.Errorf("flip-edge %d: direction (1, 2) goes to %v", edge, got)
		}
	}
}

// RFC 3805, prtOutputStackingOrder: firstToLast, "the front of the next page is
// placed against the back of the previous page"; lastToFirst, "the back of the
// next page is placed against the front".
func TestStackingOrder(t *testing.T) {
	for _, c := range []struct {
		lands       printer.Lands
		stacks      printer.Stacks
		firstToLast bool
	}{
		{printer.FaceDown, printer.OnTop, true},
		{printer.FaceUp, printer.OnTop, false},
		{printer.FaceUp, printer.Beneath, true},
		{printer.FaceDown, printer.Beneath, false},
	} {
		f := usual
		f.Lands, f.Stacks = c.lands, c.stacks
		if c.lands == printer.FaceUp {
			f.Reload = printer.TurnLong
		}
		stack, err := mustNew(t, f).Print(Blank[int](2), []int{1, 2})
		if err != nil {
			t.Fatal(err)
		}
		// The faces that touch are the upper sheet's lower and the lower sheet's upper one.
		touching := map[int]bool{}
		touching[append(stack[0].above, stack[0].below...)[0].image] = stack[0].frontLooks() < 0
		touching[append(stack[1].above, stack[1].below...)[0].image] = stack[1].frontLooks() > 0
		if touching[2] != c.firstToLast || touching[1] == c.firstToLast {
			t.Errorf("lands %d, stacks %d: fronts that touch: %v", c.lands, c.stacks, touching)
		}
	}
}
