package reorder

// Run is the sheets of a book that are printed together, by their places in
// the finished stack, from 1.
type Run struct {
	First, Last int
	// Split tells that the run begins or ends within a gathering.
	Split bool
}

// Sheets is the number of sheets in the run.
func (r Run) Sheets() int { return r.Last - r.First + 1 }

// Runs groups gatherings of the given sizes into runs of whole gatherings with
// at most most sheets each. A gathering that alone is larger is split. most 0
// is one run for all.
func Runs(sizes []int, most int) []Run {
	var runs []Run
	next := 1
	open := false // the last run takes whole gatherings and has room
	for _, n := range sizes {
		last := next + n - 1
		switch {
		case open && (most == 0 || last-runs[len(runs)-1].First < most):
			runs[len(runs)-1].Last = last
		case most == 0 || n <= most:
			runs = append(runs, Run{next, last, false})
			open = true
		default:
			for first := next; first <= last; first += most {
				runs = append(runs, Run{first, min(first+most-1, last), true})
			}
			open = false
		}
		next = last + 1
	}
	return runs
}

// RunPerGathering makes every gathering a run of its own.
func RunPerGathering(sizes []int) []Run {
	var runs []Run
	next := 1
	for _, n := range sizes {
		runs = append(runs, Run{next, next + n - 1, false})
		next += n
	}
	return runs
}
