package reorder

import (
	"fmt"
	"testing"
)

// Gatherings are about 8 leaves of 0.1 mm (common practice, no source), thicker
// paper makes fewer sheets: folio 4, quarto 2, octavo and sixteenmo 1.
func TestUsualSheets(t *testing.T) {
	for _, c := range []struct {
		fold    Fold
		cut     int
		caliper float64
		want    int
	}{
		{Folio, 1, 0.1, 4}, {Quarto, 1, 0.1, 2}, {Octavo, 1, 0.1, 1}, {Sixteenmo, 1, 0.1, 1},
		{Folio, 2, 0.1, 2}, {Folio, 4, 0.1, 1}, {Quarto, 2, 0.1, 1},
		{Folio, 1, 0.13, 3}, {Folio, 1, 0.2, 2}, {Folio, 1, 0.4, 1}, {Folio, 1, 0.05, 8}, {Quarto, 1, 0.2, 1},
	} {
		form := Form{Fold: c.fold, Cut: c.cut, Nest: Inset, Bind: BindLeft}
		if got := SheetsOfThickness(form, c.caliper, UsualThickness); got != c.want {
			t.Errorf("%s cut in %d, leaves of %g mm: %d sheets, want %d", c.fold, c.cut, c.caliper, got, c.want)
		}
	}
}

func TestSheetsWithin(t *testing.T) {
	for _, c := range []struct {
		caliper, thin, thick float64
		want                 string
	}{
		{0.1, 0.8, 1.2, "4 6 true"},
		{0.1, 0.9, 0.9, "5 4 false"},
		{0.1, 0.0, 0.3, "1 1 true"},
		{0.1, 0.0, 0.1, "1 0 false"},
	} {
		fewest, most, ok := SheetsWithin(FolioForm, c.caliper, c.thin, c.thick)
		if got := fmt.Sprint(fewest, most, ok); got != c.want {
			t.Errorf("%g to %g mm of leaves of %g mm: %s, want %s", c.thin, c.thick, c.caliper, got, c.want)
		}
	}
}

// TestSizesBetween holds for every number of sheets and every pair of limits.
func TestSizesBetween(t *testing.T) {
	for sheets := 1; sheets <= 120; sheets++ {
		for most := 1; most <= 8; most++ {
			for fewest := 1; fewest <= most; fewest++ {
				sizes := SizesBetween(sheets, fewest, most)
				sum := 0
				for _, n := range sizes {
					sum += n
					if n < fewest || n > most {
						t.Fatalf("%d sheets, %d to %d in a gathering: %v", sheets, fewest, most, sizes)
					}
				}
				if sum < sheets {
					t.Fatalf("%d sheets, %d to %d in a gathering: %v", sheets, fewest, most, sizes)
				}
				// No smaller sum can be shared out so.
				for less := sheets; less < sum; less++ {
					for n := 1; n*fewest <= less; n++ {
						if less <= n*most {
							t.Fatalf("%d sheets, %d to %d in a gathering: %v, but %d sheets in %d gatherings are enough", sheets, fewest, most, sizes, less, n)
						}
					}
				}
			}
		}
	}
	for want, got := range map[string][]int{
		"[3 3]": SizesBetween(5, 3, 4), "[3 2]": SizesBetween(5, 2, 4), "[4]": SizesBetween(2, 4, 6), "[]": SizesBetween(4, 3, 2),
	} {
		if fmt.Sprint(got) != want {
			t.Errorf("%v, want %s", got, want)
		}
	}
}

func TestVolumes(t *testing.T) {
	for _, c := range []struct {
		sizes []int
		n     int
		want  string // number, first gathering, gatherings, first sheet, sheets
	}{
		{[]int{4, 4, 4, 4}, 1, "[{1 1 4 1 16 0}]"},
		{[]int{4, 4, 4, 4}, 2, "[{1 1 2 1 8 0} {2 3 2 9 8 0}]"},
		{[]int{4, 4, 4, 4}, 3, "[{1 1 1 1 4 0} {2 2 2 5 8 0} {3 4 1 13 4 0}]"},
		{[]int{4, 4, 4, 4}, 4, "[{1 1 1 1 4 0} {2 2 1 5 4 0} {3 3 1 9 4 0} {4 4 1 13 4 0}]"},
		{[]int{1, 1, 10}, 2, "[{1 1 2 1 2 0} {2 3 1 3 10 0}]"},
		{[]int{10, 1, 1}, 2, "[{1 1 1 1 10 0} {2 2 2 11 2 0}]"},
		{[]int{10, 1, 1}, 3, "[{1 1 1 1 10 0} {2 2 1 11 1 0} {3 3 1 12 1 0}]"},
		{[]int{4}, 2, "[]"},
		{[]int{4}, 0, "[]"},
	} {
		if got := fmt.Sprint(Volumes(c.sizes, c.n)); got != c.want {
			t.Errorf("%v in %d volumes: %s, want %s", c.sizes, c.n, got, c.want)
		}
	}
	for gatherings := 1; gatherings <= 40; gatherings++ {
		for n := 1; n <= gatherings; n++ {
			sizes := make([]int, gatherings)
			for i := range sizes {
				sizes[i] = 1 + i%3
			}
			volumes := Volumes(sizes, n)
			next := 1
			for _, v := range volumes {
				if v.First != next || v.Last() < v.First {
					t.Fatalf("%v in %d volumes: %v", sizes, n, volumes)
				}
				next = v.Last() + 1
			}
			if len(volumes) != n || next != gatherings+1 {
				t.Fatalf("%v in %d volumes: %v", sizes, n, volumes)
			}
		}
	}
}
