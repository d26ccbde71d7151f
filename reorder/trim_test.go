package reorder

import (
	"errors"
	"math"
	"slices"
	"testing"

	"foldwright/reorder/refusal"
)

func TestTrimTo(t *testing.T) {
	leaf := Size{W: 148.5, H: 210}
	got, err := TrimTo(leaf, Size{140, 200}, BindLeft)
	if want := (Trim{Head: 5, Tail: 5, ForeEdge: 8.5}); err != nil || got != want || got.Of(leaf, BindLeft) != (Size{140, 200}) {
		t.Errorf("%v, %v, want %v", got, err, want)
	}
	if got, err := TrimTo(leaf, Size{148.52, 210}, BindLeft); err != nil || got != (Trim{}) {
		t.Errorf("within rounding: %v, %v", got, err)
	}
	for _, to := range []Size{{150, 200}, {140, 211}, {0, 100}, {100, -1}} {
		if _, err := TrimTo(leaf, to, BindLeft); refusal.Of(err) != refusal.Plan {
			t.Errorf("a leaf of %v is trimmed to %v: %v", leaf, to, err)
		}
	}
}

// A page that fits exactly fills what is left of its leaf: its head, tail and
// fore-edge lie on the cuts, and its spine edge lies on the fold or, on inner
// leaves, as far beyond it as the leaf creeps out.
func TestPagesFillTrimmedLeaves(t *testing.T) {
	trim := Trim{Head: 2, Tail: 5, ForeEdge: 3}
	const creep = Creep(0.2)
	for _, fold := range Folds() {
		for _, bind := range []Bind{BindLeft, BindRight, BindTop} {
			form, sheets := anyForm(fold, bind)
			book := oneGathering(t, form, sheets)
			size := trim.Of(book.PanelSize(), bind)
			pl, err := Placing{Stand: OnFold, Wide: WideShrink, Trim: trim, Creep: creep}.Place(book, func(int) Size { return size })
			if err != nil {
				t.Fatal(fold, bind, err)
			}
			if math.Abs(pl.Scale-1) > 1e-9 {
				t.Fatalf("%s: scale %v", fold, pl.Scale)
			}
			for _, s := range pl.Sheets {
				for i, p := range slices.Concat(s.Front, s.Back) {
					panel := slices.Concat(s.Sheet.Front, s.Sheet.Back)[i]
					c := creep.At(panel.Depth)
					want := p.Trimmed
					cut := map[Towards]float64{}
					cut[Left], cut[Down] = want.X0-p.Clip.X0, want.Y0-p.Clip.Y0
					cut[Right], cut[Up] = p.Clip.X1-want.X1, p.Clip.Y1-want.Y1
					foreEdge := Towards((panel.Spine+1)%4 + 1)
					head := panel.Head
					if bind == BindTop {
						head = head%4 + 1 // the left as the page is read
					}
					tail := Towards((head+1)%4 + 1)
					if math.Abs(cut[panel.Spine])+math.Abs(cut[foreEdge]-3-c)+math.Abs(cut[head]-2)+math.Abs(cut[tail]-5) > 1e-9 {
						t.Fatalf("%s, %s, page %d: cut by %v, spine %s, head %s", fold, bind, p.Page, cut, panel.Spine, panel.Head)
					}
					switch panel.Spine {
					case Left:
						want.X0 -= c
					case Right:
						want.X1 += c
					case Up:
						want.Y1 += c
					case Down:
						want.Y0 -= c
					}
					if got := p.Matrix.Bounds(size.Rect()); !got.Within(want, 1e-9) || !want.Within(got, 1e-9) {
						t.Fatalf("%s, %s, page %d at depth %d stands at %v, want %v", fold, bind, p.Page, panel.Depth, got, want)
					}
				}
			}
		}
	}
}

// At a scale that was asked for a page may stand in what is cut off, as long as
// it stays on its leaf.
func TestPagesMayStandInTheTrim(t *testing.T) {
	book := oneGathering(t, FolioForm, 1)
	a5 := func(int) Size { return Size{148, 210} }
	p := Placing{Scale: 1, Stand: OnFold, Wide: WideTurn, Trim: Trim{3, 3, 3}}
	if pl, err := p.Place(book, a5); err != nil || len(pl.Notes) > 0 {
		t.Errorf("%v, %v", pl.Notes, err)
	}
	p.Scale = 1.01
	var leaves *LeavesPanelError
	if _, err := p.Place(book, a5); !errors.As(err, &leaves) || math.Abs(leaves.Fits-1) > 1e-9 {
		t.Errorf("got %v", err)
	}
	for _, trim := range []Trim{{-1, 0, 0}, {100, 110, 0}, {0, 0, 149}} {
		if _, err := (Placing{Stand: OnFold, Wide: WideTurn, Trim: trim}).Place(book, a5); refusal.Of(err) != refusal.Plan {
			t.Errorf("%v is trimmed off: %v", trim, err)
		}
	}
}
