package virtual

import "testing"

// Turning a thing over about one edge and then about the other is half a turn
// on the table; every motion undoes itself.
func TestMotionsMakeAGroup(t *testing.T) {
	for m := Still; m <= AboutShort; m++ {
		if asMade.turn(m).turn(m) != asMade {
			t.Errorf("twice %d does not come back", m)
		}
		if p := asMade.turn(m); p.x*p.y*p.z != 1 {
			t.Errorf("%d makes a mirror image: %v", m, p)
		}
	}
	if asMade.turn(AboutLong).turn(AboutShort) != asMade.turn(HalfRound) {
		t.Error("about the long, then the short edge is not half round")
	}
}
