package testsheet

import (
	"strings"
	"testing"
)

// TestStepsOneByOne: six things are done, and all that is said is said in one of them.
func TestStepsOneByOne(t *testing.T) {
	for _, three := range []bool{false, true} {
		steps := Numbered(three)
		if len(steps) != 6 {
			t.Fatalf("%d steps: %q", len(steps), steps)
		}
		for i, with := range []string{"Pencil a cross", "Print " + FrontFile, "Before you lift", "Put the ", "Print " + BackFile, "Push a pin"} {
			if !strings.HasPrefix(steps[i], with) || !strings.HasSuffix(steps[i], ".") && !strings.HasSuffix(steps[i], "?") || strings.ContainsAny(steps[i], "\n{}") {
				t.Errorf("step %d: %s", i+1, steps[i])
			}
		}
		if strings.Contains(steps[4], "Watch whether") != three {
			t.Errorf("%s", steps[4])
		}
		if got := Automatic(three); got != "Print test-both.pdf: two-sided, flipped on the long edge, actual size (100 percent)." {
			t.Error(got)
		}
	}
}
