package drawing

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
)

var stepText = regexp.MustCompile(`<text x="([0-9.]+)" y="([0-9.]+)" class="c">(\d+)</text>`)

// Within the open fold every step is numbered once, at its hole: above the fold where the needle goes in, below it where it comes
// out; a solid line lies between the two where the thread lies inside. Links are told.
func TestStepsStandAtTheirHoles(t *testing.T) {
	row := func(g int, holes ...int) (way []binding.Stitch) {
		for i, h := range holes {
			way = append(way, binding.Stitch{Gathering: g, Hole: h, In: i%2 == 0, Link: g > 1 && i > 0 && i%2 == 0})
		}
		return way
	}
	for name, s := range map[string]Sewing{
		"tapes": {Length: 210, At: []float64{12, 60, 72, 198}, Tapes: [][2]int{{2, 3}}, Way: append(row(1, 1, 2, 3, 4), row(2, 4, 3, 2, 1)...), Before: 4},
		"chain": {Length: 210, At: []float64{12, 70, 140, 198}, Way: append(row(1, 1, 2, 3, 4), row(2, 4, 3, 3, 2, 2, 1)...), Before: 4},
		"first": {Length: 210, At: []float64{12, 70, 140, 198}, Way: row(1, 1, 2, 3, 4)},
	} {
		svg := string(Append(nil, s, "d"))
		found := map[string][2]float64{}
		for _, m := range stepText.FindAllStringSubmatch(svg, -1) {
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			found[m[3]] = [2]float64{x, y}
		}
		if len(found) != len(s.now()) {
			t.Errorf("%s: %d steps are numbered, not %d", name, len(found), len(s.now()))
		}
		fold := (found["1"][1] + 7 + found["2"][1] - 15) / 2
		lines := 0
		for i, w := range s.now() {
			at := found[fmt.Sprint(i+1)]
			if d := at[0] - s.across(w.Hole); d > 0.1 || d < -0.1 || (at[1] < fold) != w.In {
				t.Errorf("%s: step %d stands at %v, hole %d lies at %.1f, %.1f", name, i+1, at, w.Hole, s.across(w.Hole), fold)
			}
			if inside := fmt.Sprintf(`<path class="f" d="M%s %sH`, appendTenth(nil, s.across(w.Hole)), appendTenth(nil, fold)); w.In {
				lines += strings.Count(svg, inside)
			}
		}
		if lines != len(s.now())/2 {
			t.Errorf("%s: inside the fold %d threads are drawn, of %d steps", name, lines, len(s.now()))
		}
		_, desc := s.Describe()
		if linked := strings.Contains(desc, "behind the thread below"); linked != (s.Before > 0) {
			t.Errorf("%s: %s", name, desc)
		}
	}
}
