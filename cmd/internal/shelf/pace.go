package shelf

import "time"

// Pace is how far a shelf has come and how fast. Only titles that are tried
// in this run are in it.
type Pace struct {
	Titles, Ended, Failed int
	Bytes, AllBytes       int64 // of sources; a title in work counts by the sides written
	Pages                 int   // of books, likewise
	Elapsed               time.Duration
}

// PerSecond is the pages and the bytes of source worked off in one second.
func (p Pace) PerSecond() (pages float64, bytes Size) {
	s := p.Elapsed.Seconds()
	if s <= 0 {
		return 0, 0
	}
	return float64(p.Pages) / s, Size(float64(p.Bytes) / s)
}

// Left is how long the rest will take at this pace; ok is false before
// anything can be said.
func (p Pace) Left() (left time.Duration, ok bool) {
	if p.Bytes <= 0 || p.Elapsed < time.Second {
		return 0, false
	}
	return time.Duration(float64(p.Elapsed) * float64(p.AllBytes-p.Bytes) / float64(p.Bytes)), true
}

// Work is a title in work.
type Work struct {
	Title       Title
	Pages       int // of the book
	Sides, Done int // of its print files; 0 until they are known
	Began       time.Time
}

// Share is how much of n counts as done by the sides that are written.
func (w Work) Share(n int64) int64 {
	if w.Sides == 0 {
		return 0
	}
	return n * int64(min(w.Done, w.Sides)) / int64(w.Sides)
}

// Event is something that happens to a shelf. Events come one at a time.
type Event struct {
	Kind EventKind
	Pace Pace
	// Entry is the title that ended, or that was found complete or failed.
	Entry *Entry
	// Work is what is in work, the title that has been longest in work first.
	Work []Work
}

// EventKind says what happens.
type EventKind string

const (
	Judging EventKind = "judging" // the titles are compared with what lies there: Pace counts them
	Begin   EventKind = "begin"   // the work begins; Pace says how much there is
	Started EventKind = "started" // the last in Work
	Step    EventKind = "step"    // some sides of a title are written
	Waits   EventKind = "waits"   // a title is being written by another run: Entry names it
	Ended   EventKind = "ended"   // a title: see Entry
)
