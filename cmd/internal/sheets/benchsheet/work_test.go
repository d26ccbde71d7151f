package benchsheet

import (
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// The order of work (common practice, no source): fold, press, collate, pierce,
// sew, glue up, trim, round, back, line, measure, boards, cloth, make the case,
// case in, press. Boards and cloth come after the sewn block is measured.
func TestOrderOfWork(t *testing.T) {
	order := Order(sheetOf(t, binding.MM, "case", geom.Size{W: 145.5, H: 204}, reorder.Trim{}, binding.Measured{}).Structure)
	first, second := strings.Join(order[0].Steps, " "), strings.Join(order[1].Steps, " ")
	all := first + " " + second
	at := 0
	for _, step := range []string{
		"Press the folded", "Check that the pages follow", "Pierce", "sew.", "Glue up", "Trim", "round it", "back it", "Line the spine", "Measure the block",
		"Cut the boards", "Cut the cloth", "Make the case", "Put the block into the case", "press until dry",
	} {
		i := strings.Index(all[at:], step)
		if i < 0 {
			t.Fatalf("%q does not follow in %q", step, all[at:])
		}
		at += i + len(step)
	}
	if strings.Contains(first, "Cut the boards") || !strings.HasSuffix(first, "Measure the block, and go on with boards and cover.") {
		t.Errorf("boards are cut before the block is measured: %s", first)
	}
	// A cover that is glued on is not pierced, and is made when the block can be measured.
	glued := strings.Join(Order(sheetOf(t, binding.MM, "link-stitch", geom.Size{W: 145.5, H: 204}, reorder.Trim{}, binding.Measured{}).Structure)[0].Steps, " ")
	if strings.Contains(glued, "and the cover") || strings.Index(glued, "Measure the block") > strings.Index(glued, "Cut the cover") {
		t.Errorf("a glued cover: %s", glued)
	}
}
