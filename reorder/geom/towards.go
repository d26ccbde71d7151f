package geom

import "foldwright/reorder/enum"

// Towards is one of the four directions on a side, as it is looked at in feed
// orientation.
type Towards int

const (
	Up    Towards = iota + 1 // +y, the sheet's head
	Left                     // -x
	Down                     // -y, the sheet's tail
	Right                    // +x
)

var towardsWords = enum.Words{What: "direction", List: []string{"up", "left", "down", "right"}}

func (t Towards) String() string { return towardsWords.Of(int(t)) }

// Quarters is how many counter-clockwise quarter turns bring up to t.
func (t Towards) Quarters() int { return int(t) - 1 }

func (t Towards) Opposite() Towards { return t.Turn(2) }

// Turn gives where t points after counter-clockwise quarter turns.
func (t Towards) Turn(quarters int) Towards { return (t-1+Towards(quarters)+4)%4 + 1 }

// Unit is the point one millimetre away in that direction.
func (t Towards) Unit() Point {
	switch t {
	case Left:
		return Point{X: -1}
	case Down:
		return Point{Y: -1}
	case Right:
		return Point{X: 1}
	}
	return Point{Y: 1}
}
