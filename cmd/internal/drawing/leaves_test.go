package drawing

import (
	"strings"
	"testing"

	"foldwright/reorder"
)

// TestCreepIsSeen: where pages are moved, print of all leaves stands in line and the leaves do not;
// where they are not, print goes out with its leaf.
func TestCreepIsSeen(t *testing.T) {
	for _, creep := range []reorder.Creep{0, 0.1} {
		l := Leaves{Name: "Gathering 1", Form: reorder.FolioForm, Leaves: 8, Wide: 148.5, Caliper: 0.1, Creep: creep}
		svg := string(Append(nil, l, "d"))
		print := svg[strings.Index(svg, `<path class="k" d="`)+19:]
		starts := map[string]bool{}
		for _, move := range strings.Split(print[:strings.Index(print, `"`)], "M")[1:] {
			x, _, _ := strings.Cut(move, " ")
			starts[x] = true
		}
		if want := map[bool]int{true: 1, false: 4}[creep > 0]; len(starts) != want {
			t.Errorf("creep %v: print begins at %d places, want %d", creep, len(starts), want)
		}
		if says := strings.Contains(svg, "moved by 0.3 mm towards the spine"); says != (creep > 0) {
			t.Errorf("creep %v: %s", creep, svg)
		}
	}
	if moved := (Leaves{Form: reorder.FolioForm, Leaves: 8, Creep: 0.14}).Shift(); moved < 0.4199 || moved > 0.4201 {
		t.Errorf("moved by %v mm, want three thicknesses", moved)
	}
	if moved := (Leaves{Form: reorder.Form{Fold: reorder.Loose}, Leaves: 8, Creep: 0.14}).Shift(); moved != 0 {
		t.Errorf("loose leaves are moved by %v mm", moved)
	}
}
