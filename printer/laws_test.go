package printer_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// TestEveryPrinterYieldsThePlannedSheets is the law of the printer model: the
// files, printed by a simulator that shares nothing with the planner, give
// sheets 1..n with the planned front and back, whatever the printer.
func TestEveryPrinterYieldsThePlannedSheets(t *testing.T) {
	all := virtual.All()
	if len(all) != 128+16 {
		t.Fatalf("the simulator finds %d printers, not 128 + 16", len(all))
	}
	sheet := geom.Size{W: 210, H: 297}
	mark := geom.Point{X: 13, Y: 31} // somewhere off every axis of symmetry
	for _, facts := range all {
		if err := facts.Check(); err != nil {
			t.Fatalf("%+v is refused: %v", facts, err)
		}
		p, err := virtual.New[printer.Image](facts)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range []int{1, 2, 3, 7, 50} {
			var files [][]printer.Image
			for _, f := range facts.Files(n, true) {
				files = append(files, f.Images)
			}
			done, err := p.Make(files...)
			if err != nil {
				t.Fatalf("%+v, %d sheets: %v", facts, n, err)
			}
			if len(done) != n {
				t.Fatalf("%+v: %d sheets, not %d", facts, len(done), n)
			}
			for i, s := range done {
				front, back := s.Front.Image, s.Back.Image
				if front.Sheet != i+1 || front.Side != reorder.Front || back.Sheet != i+1 || back.Side != reorder.Back {
					t.Fatalf("%+v, %d sheets: sheet %d from the top carries %v and %v", facts, n, i+1, front, back)
				}
				for _, seen := range []virtual.Seen[printer.Image]{s.Front, s.Back} {
					at := mark
					if seen.Image.HalfTurn {
						at = geom.HalfTurn(sheet).Apply(mark)
					}
					if got := seen.Place(at, sheet); got != mark {
						t.Fatalf("%+v: a mark planned at %v of the %s lies at %v", facts, mark, seen.Image.Side, got)
					}
				}
			}
		}
	}
}

// TestOneSidedJobs prints only fronts.
func TestOneSidedJobs(t *testing.T) {
	for _, facts := range printer.Legal() {
		if facts.TwoSided == printer.Automatic {
			continue // its front side comes to rest as a sheet printed by hand does
		}
		p, err := virtual.New[printer.Image](facts)
		if err != nil {
			t.Fatal(err)
		}
		files := facts.Files(5, false)
		if len(files) != 1 || files[0].Pass != printer.FrontPass {
			t.Fatalf("%+v: a one-sided job has files %v", facts, files)
		}
		done, err := p.Make(files[0].Images)
		if err != nil {
			t.Fatal(err)
		}
		for i, s := range done {
			if s.Front.Image.Sheet != i+1 || s.Front.Turned {
				t.Fatalf("%+v: place %d from the top holds sheet %d, turned %v", facts, i+1, s.Front.Image.Sheet, s.Front.Turned)
			}
		}
	}
}

func TestLegalAgreesWithTheSimulator(t *testing.T) {
	planned, simulated := printer.Legal(), virtual.All()
	if len(planned) != 144 {
		t.Errorf("%d legal printers, not 144", len(planned))
	}
	for _, f := range simulated {
		if !slices.Contains(planned, f) {
			t.Errorf("the simulator can print with %+v, the rule refuses it", f)
		}
	}
}

// result is the files and the reload as one comparable text.
func result(f printer.Facts, n int) string {
	text, _ := json.Marshal(f.Files(n, true))
	return string(text)
}

// TestEveryFactMatters changes one fact alone (feed-face and lands together
// with the reload's turn, as otherwise the second printing would hit the first)
// and expects other files; as-delivered against rotate differ only in what the
// person is told.
func TestEveryFactMatters(t *testing.T) {
	other := map[printer.Reload]printer.Reload{
		printer.AsDelivered: printer.TurnLong, printer.RotateHalf: printer.TurnShort,
		printer.TurnLong: printer.AsDelivered, printer.TurnShort: printer.RotateHalf,
	}
	changes := map[string]func(*printer.Facts){
		"feed-from": func(f *printer.Facts) { f.FeedFrom = 3 - f.FeedFrom },
		"stacks":    func(f *printer.Facts) { f.Stacks = 3 - f.Stacks },
		"sends":     func(f *printer.Facts) { f.Sends = 3 - f.Sends },
		"flip-edge": func(f *printer.Facts) { f.FlipEdge = 3 - f.FlipEdge },
		"feed-face": func(f *printer.Facts) { f.FeedFace = 3 - f.FeedFace; f.Reload = other[f.Reload] },
		"lands":     func(f *printer.Facts) { f.Lands = 3 - f.Lands; f.Reload = other[f.Reload] },
	}
	distinct := map[string]bool{}
	for _, f := range printer.Legal() {
		distinct[result(f, 5)] = true
		for name, change := range changes {
			if f.TwoSided == printer.Automatic && (name == "feed-from" || name == "feed-face") {
				continue
			}
			g := f
			change(&g)
			if f.TwoSided == printer.Automatic {
				g.Reload = 0
			}
			if err := g.Check(); err != nil {
				t.Fatalf("changing %s: %v", name, err)
			}
			if result(f, 5) == result(g, 5) {
				t.Errorf("changing %s of %+v changes no file", name, f)
			}
		}
	}
	t.Logf("144 printers lead to %d different sets of files for a run of 5 sheets", len(distinct))
	if len(distinct) != 8+4 {
		t.Errorf("%d different sets of files, expected 8 by hand (2 orders of the fronts, 2 of the backs, 2 turns) and 4 automatic (2 orders, 2 turns)", len(distinct))
	}
}

func TestContradictionNamesTheReloadsThatWork(t *testing.T) {
	n := 0
	for face := printer.FeedUp; face <= printer.FeedDown; face++ {
		for lands := printer.FaceUp; lands <= printer.FaceDown; lands++ {
			for reload := printer.AsDelivered; reload <= printer.TurnShort; reload++ {
				f := printer.Usual
				f.FeedFace, f.Lands, f.Reload = face, lands, reload
				err := f.Check()
				if err == nil {
					continue
				}
				n++
				proposed, _, _ := strings.Cut(strings.TrimPrefix(refusal.Hint(err).String(), "reload must be "), ";")
				words := strings.Split(proposed, " or ")
				if len(words) != 2 || words[0] == words[1] {
					t.Fatalf("%+v: %q", f, proposed)
				}
				for _, word := range words {
					g := f
					if e := g.Reload.UnmarshalText([]byte(word)); e != nil {
						t.Fatal(e)
					}
					if _, e := virtual.New[int](g); e != nil {
						t.Errorf("%+v: reload %s is proposed and does not work: %v", f, word, e)
					}
				}
			}
		}
	}
	if n != 8 {
		t.Errorf("%d contradictions among 16, expected half of them", n)
	}
}

func TestMissingAndMisplacedFacts(t *testing.T) {
	for what, change := range map[string]func(*printer.Facts){
		"two-sided is missing":   func(f *printer.Facts) { f.TwoSided = 0 },
		"feed-face is not given": func(f *printer.Facts) { f.FeedFace = 0 },
		"feed-from is not given": func(f *printer.Facts) { f.FeedFrom = 0 },
		"reload is not given":    func(f *printer.Facts) { f.Reload = 0 },
		"lands is not given":     func(f *printer.Facts) { f.Lands = 0 },
		"stacks is not given":    func(f *printer.Facts) { f.Stacks = 0 },
		"sends is not given":     func(f *printer.Facts) { f.Sends = 0 },
		"flip-edge is not given": func(f *printer.Facts) { f.FlipEdge = 0 },
		"feed-face does not belong in the profile of an automatic printer: it turns the paper itself": func(f *printer.Facts) {
			f.TwoSided = printer.Automatic
		},
	} {
		f := printer.Usual
		change(&f)
		if err := f.Check(); err == nil || err.Error() != what {
			t.Errorf("got %v, want %q", err, what)
		}
	}
}

// Every word of every fact is read back as the value it was written for.
func TestWords(t *testing.T) {
	for _, f := range printer.Legal() {
		data, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		var g printer.Facts
		if err := json.Unmarshal(data, &g); err != nil || g != f {
			t.Fatalf("%s is read as %+v: %v", data, g, err)
		}
	}
	var lands printer.Lands
	if err := lands.UnmarshalText([]byte("sideways")); err == nil || fmt.Sprint(err) != `lands cannot be "sideways": choose face-up or face-down` {
		t.Errorf("sideways: %v", err)
	}
}
