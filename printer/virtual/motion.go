package virtual

// Motion is a motion of a sheet, or of a whole stack, after which it lies
// straight in a tray again.
type Motion int

const (
	Still      Motion = iota + 1 // shifted at most
	HalfRound                    // half a turn on the table
	AboutLong                    // turned over about a long edge, like the page of a book
	AboutShort                   // turned over about a short edge, like the leaf of a wall calendar
)

// Motions are all of them.
func Motions() []Motion { return []Motion{Still, HalfRound, AboutLong, AboutShort} }

func (m Motion) String() string {
	switch m {
	case Still:
		return "still"
	case HalfRound:
		return "half round"
	case AboutLong:
		return "about the long edge"
	case AboutShort:
		return "about the short edge"
	}
	return "no motion"
}

// pose tells along which way each of a body's own axes points in the tray: 1
// is the tray's own way, -1 the opposite.
type pose struct{ x, y, z int }

// asMade is the pose of a sheet whose own frame is the tray's.
var asMade = pose{1, 1, 1}

// moved turns the body by half about the axis of the motion, which keeps the
// way along that axis and reverses the two others. The long edges run along y,
// the short ones along x.
func (p pose) moved(m Motion) pose {
	switch m {
	case HalfRound:
		return pose{-p.x, -p.y, p.z}
	case AboutLong:
		return pose{-p.x, p.y, -p.z}
	case AboutShort:
		return pose{p.x, -p.y, -p.z}
	}
	return p
}
