// Package progress tells a person how far long work has come.
//
// The work is given a [Reporter] and knows nothing else: [Silent] for tests
// and --quiet, [Bar] for a person at a terminal. A bar is courtesy, never
// data: it appears only on a terminal and only when the work takes a while,
// and it is gone without a trace when the work is done, so that what is
// printed next begins on a clean line.
package progress

// Reporter is told about one piece of work at a time.
type Reporter interface {
	// Start begins a piece of work of total steps and says in a few words what it is.
	Start(what string, total int)
	// Step counts n more steps as done. It may be called from several goroutines.
	Step(n int)
	// Done ends the piece of work, whether it succeeded or not.
	Done()
}

// Silent reports nothing.
var Silent Reporter = silent{}

type silent struct{}

func (silent) Start(string, int) {}
func (silent) Step(int)          {}
func (silent) Done()             {}
