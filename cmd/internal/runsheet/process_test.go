package runsheet

import (
	"fmt"
	"strings"
	"testing"

	"foldwright/profiles"
)

// TestRestKnowsTheProcess: who has a laser printer is not told of ink.
func TestRestKnowsTheProcess(t *testing.T) {
	for process, want := range map[profiles.Process]struct{ laser, inkjet bool }{
		0:               {true, true},
		profiles.Laser:  {true, false},
		profiles.Inkjet: {false, true},
	} {
		text := fmt.Sprint(Rest{process}.Text())
		if strings.Contains(text, "laser") != want.laser || strings.Contains(text, "inkjet") != want.inkjet {
			t.Errorf("%s: %s", process, text)
		}
	}
}
