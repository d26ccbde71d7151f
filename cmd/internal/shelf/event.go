package shelf

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
type EventKind int

const (
	Judging EventKind = iota + 1 // the titles are compared with what lies there: Pace counts them
	Begin                        // the work begins; Pace says how much there is
	Started                      // the last in Work
	Step                         // some sides of a title are written
	Waits                        // a title is being written by another run: Entry names it
	Ended                        // a title: see Entry
)

func (k EventKind) String() string {
	return map[EventKind]string{
		Judging: "judging", Begin: "begin", Started: "started", Step: "step", Waits: "waits", Ended: "ended",
	}[k]
}
