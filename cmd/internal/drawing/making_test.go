package drawing

import (
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

var sizes = []geom.Size{{W: 210, H: 297}, {W: 297, H: 210}, {W: 148.5, H: 210}, {W: 74.25, H: 105}, {W: 210, H: 99}, {W: 330, H: 330}}

// makings is what hands do with paper of the first sizes, or of more of them.
func makings(sizes ...geom.Size) []Drawing {
	var all []Drawing
	towards := []geom.Towards{geom.Up, geom.Left, geom.Down, geom.Right}
	for _, size := range sizes {
		for _, layers := range []int{1, 4, 60} {
			for _, folds := range [][]geom.Towards{nil, {geom.Right}, {geom.Up, geom.Right}, {geom.Up, geom.Left}} {
				f := Flat{Size: size, Layers: layers, Folds: folds}
				for over := reorder.RightOverLeft; over <= reorder.NearOverFar; over++ {
					for _, sewn := range []bool{false, true} {
						fold := Fold{Before: f, FoldOver: reorder.FoldOver{Over: over, At: size.W / 2}, After: f, Sewn: sewn}
						fold.After.Size.W /= 2
						if LineOf(over) == reorder.Level {
							fold.At, fold.After.Size = size.H/2, geom.Size{W: size.W, H: size.H / 2}
						}
						fold.After.Folds = append(fold.After.Folds[:len(folds):len(folds)], FoldEdge(fold.Over))
						all = append(all, fold)
					}
					for _, turn := range []bool{false, true} {
						cut := Cut{Before: f, CutPile: reorder.CutPile{Line: LineOf(over), At: size.W / 2, On: over, Turn: turn}}
						if cut.isLevel() {
							cut.At = size.H / 2
						}
						all = append(all, cut)
					}
				}
				for _, e := range towards {
					for _, from := range towards {
						if (e == geom.Up || e == geom.Down) == (from == geom.Left || from == geom.Right) {
							all = append(all, Slit{f, reorder.SlitBolt{Edge: e, From: from, To: size.W / 3}})
						}
					}
					all = append(all, Present{f, f, reorder.Present{Spine: e}}, Present{f, f, reorder.Present{Spine: e, TurnOver: true}}, Present{f, f, reorder.Present{Spine: e, Quarters: 2}})
					all = append(all, Bolts{f, e, reorder.OpenBolts{Edges: []geom.Towards{geom.Up}}}, Bolts{f, e, reorder.OpenBolts{Edges: []geom.Towards{geom.Down, geom.Right}}})
				}
				for _, line := range []reorder.Line{reorder.Upright, reorder.Level} {
					long := size.W
					if line == reorder.Level {
						long = size.H
					}
					inset := Cut{f, reorder.CutPile{Line: line, At: long / 2 * 4 / 3}, true}
					all = append(all, Cut{Before: f, CutPile: reorder.CutPile{Line: line, At: long / 2}}, inset, Series{"Cut the offcut off and fold it", []Drawing{inset, inset}})
				}
			}
		}
		for _, to := range towards[1:] {
			at := size.W - 10
			if to == geom.Down {
				at = size.H - 10
			}
			all = append(all, Join{Flat{Size: size}, reorder.Join{To: to, At: at}})
		}
	}
	for _, to := range towards[1:] {
		all = append(all, Pleat{reorder.Pleat{To: to, Width: 143.5}, 3, binding.MM}, Pleat{reorder.Pleat{To: to, Width: 143.5}, 60, binding.Inches})
	}
	for _, fold := range []reorder.Fold{reorder.Folio, reorder.Loose, reorder.Pouch, reorder.Concertina} {
		for _, n := range []int{4, 8, 16, 300} {
			for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight} {
				for _, creep := range []reorder.Creep{0, 0.1, 0.157} {
					l := Leaves{Name: "Gathering 3", Form: reorder.Form{Fold: fold, Cut: 1, Bind: bind}, Leaves: n, Wide: 148.5, Caliper: 0.1, Creep: creep, Trimmed: float64(creep) * 30}
					if creep == 0 || l.isNested() {
						all = append(all, l)
					}
				}
			}
		}
	}
	for _, n := range []int{2, 4, 70} {
		all = append(all, Backs{n})
	}
	return append(all,
		Nest{[]string{"the first", "the second"}, false}, Nest{[]string{"the first", "the second", "the third", "the fourth"}, true},
		Nest{[]string{"the rest", "the offcut"}, false})
}

// The crease of a fold and the line of a cut are drawn where the values say: the
// share of the paper's width or height to either side of it is theirs.
func TestLinesAreDrawnWhereTheyAre(t *testing.T) {
	for _, d := range makings(sizes[:2]...) {
		var before Flat
		var at float64
		var line reorder.Line
		switch d := d.(type) {
		case Fold:
			before, at, line = d.Before, d.At, LineOf(d.Over)
		case Cut:
			before, at, line = d.Before, d.At, d.Line
		default:
			continue
		}
		svg := string(Append(nil, d, "d"))
		dashed := points(path.FindStringSubmatch(svg[strings.Index(svg, `<path class="d"`):])[1])
		sheet := points(path.FindStringSubmatch(svg[strings.Index(svg, `<path class="o"`):])[1])
		near, right, far := sheet[0], sheet[1], sheet[4]
		from, to := dashed[0], dashed[1]
		if line == reorder.Level {
			if from.y != to.y {
				t.Errorf("%+v: not level", d)
			}
			share := (near.y - before.thick() - from.y) / (near.y - before.thick() - far.y)
			if want := at / before.Size.H; share-want > 0.02 || want-share > 0.02 {
				t.Errorf("%+v: drawn at %v of the height, is at %v", d, share, want)
			}
			continue
		}
		// Beyond the near edge by 7 units of depth.
		share := (from.x + 7*aslant - near.x) / (right.x - near.x)
		if want := at / before.Size.W; share-want > 0.02 || want-share > 0.02 {
			t.Errorf("%+v: drawn at %v of the width, is at %v", d, share, want)
		}
	}
}
