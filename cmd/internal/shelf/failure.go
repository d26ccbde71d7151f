package shelf

import (
	"fmt"
	"os"
	"time"

	"foldwright/cmd/internal/plan"
	"foldwright/reorder/phrase"
)

// Failure is why a title failed and what it had been made from.
type Failure struct {
	Status   int             `json:"status"` // the exit status that prepare would have had
	Sentence string          `json:"sentence"`
	Hint     phrase.Sentence `json:"hint,omitzero"`
	Detail   string          `json:"detail,omitempty"` // where a program was led astray: what it said
	Marks
	Cause Cause `json:"cause,omitempty"`
	// Passing is set where the cause does not lie in the marks: a full disk, a
	// process that was killed. Such a title is tried again.
	Passing bool `json:"passing,omitempty"`
	// busy is set where another run was at work on the title.
	busy bool
}

// Cause is why a process ended that could not say so itself; empty: it did, or it was none of these.
type Cause string

const (
	TooMuchMemory Cause = "memory"
	TooLong       Cause = "time"
	Crashed       Cause = "crash"
	Killed        Cause = "killed" // from outside
)

// Marks is what a failure follows from. While they are unchanged, the title
// would fail again.
type Marks struct {
	SHA256  string `json:"source_sha256,omitempty"`  // empty: the source could not be read
	Request string `json:"request_sha256,omitempty"` // see options.Request
	// Password is when the file with the password was changed last.
	Password time.Time `json:"password_changed,omitzero"`
	// Memory and Seconds are the limit that was passed, if one was: a title is
	// tried again under a wider one.
	Memory  Size    `json:"memory_limit,omitzero"`
	Seconds float64 `json:"seconds_limit,omitzero"`
}

// changeTime is when a file was changed last, zero if that is not known.
func changeTime(file string) time.Time {
	if file == "" {
		return time.Time{}
	}
	info, err := os.Stat(file)
	if err != nil {
		return time.Time{}
	}
	return info.ModTime().UTC()
}

// The exit statuses that failures of a process of ours count as; the table is
// in package cli.
const (
	statusUnexpected  = 1
	statusInterrupted = 130
)

func crashFailure(said string) *Failure {
	return &Failure{Status: statusUnexpected, Sentence: "the program failed on this title: " + firstCause(said), Detail: said, Cause: Crashed,
		Hint: phrase.New("the other titles are not affected; the report has what the program said")}
}

func memoryFailure(limit Size) *Failure {
	return &Failure{
		Status: statusUnexpected, Sentence: fmt.Sprintf("needed more memory than the %s it may use", limit),
		Hint: phrase.New("raise %s to give the batch more", phrase.Set("memory")), Marks: Marks{Memory: limit}, Cause: TooMuchMemory,
	}
}

func timeFailure(limit time.Duration) *Failure {
	return &Failure{
		Status: statusUnexpected, Sentence: fmt.Sprintf("took longer than %s", limit),
		Hint: phrase.New("raise %s to give each title more time", phrase.Set("title-timeout")), Marks: Marks{Seconds: limit.Seconds()}, Cause: TooLong,
	}
}

func killFailure(how string) *Failure {
	return &Failure{
		Status: statusUnexpected, Sentence: "its process was ended from outside: " + how, Passing: true, Cause: Killed,
		Hint: phrase.New("start the batch again; if the system ended it because memory ran out, give the batch less with %s", phrase.Set("memory")),
	}
}

// mark notes what a failure follows from. If the source was not the same before the
// title was tried, nobody knows, and the failure is passing.
func (r *run) mark(t Title, before string, f *Failure) {
	f.Password = changeTime(t.Password)
	var errs [2]error
	f.SHA256, errs[0] = plan.FileSHA256(t.Source)
	f.Request, errs[1] = r.request(t)
	f.Passing = errs != [2]error{} || f.SHA256 != before
}
