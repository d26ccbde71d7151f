package structure

import (
	"math"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// bookOf is a book of so many gatherings, sewn as the structure has it.
func bookOf(t *testing.T, name string, height float64, gatherings int) binding.Sheet {
	t.Helper()
	s, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	if s.Sewn == binding.OneFold {
		gatherings = 1
	}
	b := binding.Book{Leaf: geom.Size{W: height * 0.7, H: height}, Leaves: 8 * gatherings, Gatherings: gatherings, Sheets: 4 * gatherings, Caliper: reorder.OfficeCaliper}
	sheet, err := binding.Measure(b, binding.Options{Structure: s})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

// The needle goes in and out by turns, through every station in order, to and fro; inside no stretch of a
// fold is sewn twice; it begins and ends outside.
// What links must find thread outside the gathering below, at its hole or across its tape.
func TestEveryWayCanBeSewn(t *testing.T) {
	linked := map[string]int{}
	for _, name := range Names() {
		for height := 60.0; height <= 400; height += 10 {
			sheet := bookOf(t, name, height, 5)
			rows, n := sheet.Book.Gatherings, len(sheet.Stations.Holes)
			way := sheet.Way(rows)
			if sheet.Structure.Sewn == binding.Side {
				continue
			}
			type stretch struct{ gathering, hole int }
			inside, outside, visited := map[stretch]int{}, map[stretch]bool{}, map[int][]int{}
			for i, w := range way {
				if w.In != (i%2 == 0) {
					t.Fatalf("%s, %g mm: stitch %d of %v", name, height, i, way)
				}
				if seen := visited[w.Gathering]; len(seen) == 0 || seen[len(seen)-1] != w.Hole {
					visited[w.Gathering] = append(seen, w.Hole)
				}
				if i == 0 {
					continue
				}
				from := way[i-1]
				if w.Link {
					linked[name]++
					if below := (stretch{w.Gathering - 1, min(from.Hole, w.Hole)}); !outside[below] && !(from.Hole == w.Hole && outside[stretch{w.Gathering - 1, w.Hole - 1}]) {
						t.Errorf("%s, %g mm: no thread to link into below %v", name, height, w)
					}
				}
				for h := min(from.Hole, w.Hole); h < max(from.Hole, w.Hole); h++ {
					if from.In {
						inside[stretch{w.Gathering, h}]++
					} else {
						outside[stretch{w.Gathering, h}] = true
					}
				}
				if !from.In && from.Hole == w.Hole && from.Gathering == w.Gathering {
					outside[stretch{w.Gathering, w.Hole}], outside[stretch{w.Gathering, w.Hole - 1}] = true, true
				}
			}
			if last := way[len(way)-1]; last.In || !way[0].In {
				t.Errorf("%s, %g mm: the thread begins and ends inside", name, height)
			}
			for s, times := range inside {
				if times > 1 {
					t.Errorf("%s, %g mm: %d threads inside gathering %d after hole %d", name, height, times, s.gathering, s.hole)
				}
			}
			for g, holes := range visited {
				if sheet.Structure.Sewn == binding.OneFold {
					continue
				}
				for i, h := range holes {
					if want := map[bool]int{true: i + 1, false: n - i}[g%2 == 1]; h != want || len(holes) != n {
						t.Fatalf("%s, %g mm: gathering %d is sewn through the holes %v of %d", name, height, g, holes, n)
					}
				}
			}
		}
	}
	if linked["link-stitch"] == 0 || linked["french-link"] == 0 || len(linked) != 2 {
		t.Errorf("links: %v", linked)
	}
}

// All stations lie within the trimmed block, in order, and further from each other than a needle's eye.
func TestStationsLieWithinTheTrimmedBlock(t *testing.T) {
	for _, name := range Names() {
		for height := 40.0; height <= 420; height += 3 {
			sheet := bookOf(t, name, height, 3)
			at := 0.0
			for _, p := range sheet.Stations.Places() {
				if p-at < 2 || p > height-2 {
					t.Errorf("%s, %g mm: stations at %v", name, height, sheet.Stations.Places())
				}
				at = p
			}
		}
	}
}

// The thread of a way is added up along its stretches, from their ends on the spine: across it by the stations, up it by
// the thickness of a gathering; what is said besides is the spare.
func TestThreadIsAsLongAsItsWay(t *testing.T) {
	for _, name := range []string{"case", "cords", "flat-back", "french-link", "link-stitch"} {
		for _, gatherings := range []int{1, 2, 3, 12} {
			sheet := bookOf(t, name, 210, gatherings)
			s, at := sheet.Structure, sheet.Stations.Places()
			run := at[len(at)-1] - at[0]
			// Once along each fold; up to each gathering but the first; a kettle stitch down and up at the end of all
			// from the third on; a link down and up for each tape, or inner hole, of all from the second on.
			of := float64(gatherings)
			steps := (of - 1) + 2*max(0, of-2)
			if s.Links != binding.Kettles {
				steps += 2 * (of - 1) * float64(len(sheet.Stations.Supports))
			}
			for _, f := range sheet.Before {
				if f.Name != binding.ThreadToCut {
					continue
				}
				for _, c := range [][3]float64{{f.Amount.Least, sheet.Thick.Least, s.Over.Least}, {f.Amount.Most, sheet.Thick.Most, s.Over.Most}} {
					if want := of*run + steps*c[1]/of + c[2]*run + s.Start.Middle(); math.Abs(c[0]-want) > 1e-6 {
						t.Errorf("%s, %d gatherings: %.2f mm of thread, the way and the spare take %.2f", name, gatherings, c[0], want)
					}
				}
			}
		}
	}
}

// Chosen stations that the thread cannot go through are refused.
func TestChosenStationsSuitTheWay(t *testing.T) {
	b := binding.Book{Leaf: geom.Size{W: 148, H: 210}, Leaves: 40, Gatherings: 5, Sheets: 20, Caliper: reorder.OfficeCaliper}
	for _, c := range []struct {
		structure  string
		gatherings int
		stations   []float64
		fits       bool
	}{
		{"link-stitch", 5, []float64{12, 70, 140, 198}, true}, {"link-stitch", 5, []float64{12, 105, 198}, false}, {"link-stitch", 5, []float64{12, 198}, false},
		{"french-link", 5, []float64{12, 60, 72, 140, 152, 198}, true}, {"french-link", 5, []float64{12, 60, 72, 140, 198}, false},
		{"long-stitch", 5, []float64{12, 70, 198}, false}, {"pamphlet", 1, []float64{12, 70, 140, 198}, false}, {"pamphlet", 1, []float64{25, 105, 180}, true},
		{"case", 5, []float64{12, 105, 198}, true},
	} {
		s, err := Find(c.structure)
		if err != nil {
			t.Fatal(err)
		}
		b.Gatherings = c.gatherings
		if _, err := binding.Measure(b, binding.Options{Structure: s, Measured: binding.Measured{Stations: c.stations}}); (err == nil) != c.fits {
			t.Errorf("%s at %v: %v", c.structure, c.stations, err)
		}
	}
}
