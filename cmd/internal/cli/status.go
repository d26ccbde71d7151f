package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"syscall"

	"github.com/spf13/cobra"

	"foldwright/profiles/regular"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Status is the exit status of the program, one table for all commands.
type Status int

const (
	Done        Status = 0
	Unexpected  Status = 1
	WrongUse    Status = 2
	Partly      Status = 3
	Unreadable  Status = 4
	Locked      Status = 5
	Output      Status = 6
	Refused     Status = 7
	Faults      Status = 8
	Interrupted Status = 130
)

// statuses are all of them with what they mean, and with the kinds of what is
// refused that end in them.
var statuses = []struct {
	status  Status
	meaning string
	kinds   []refusal.Kind
}{
	{Done, "done, perhaps with warnings", nil},
	{Unexpected, "something unexpected went wrong", nil},
	{WrongUse, "wrong use: flags or arguments", []refusal.Kind{refusal.Command, refusal.Use}},
	{Partly, "partly done: a shelf with titles that failed, or pages that could not be drawn", []refusal.Kind{refusal.Partly}},
	{Unreadable, "the input cannot be read", []refusal.Kind{refusal.Source}},
	{Locked, "a password or a permission is needed", []refusal.Kind{refusal.Locked}},
	{Output, "the output exists, cannot be written, or the disk is full", []refusal.Kind{refusal.Output}},
	{Refused, "the plan, paper, printer or profile was refused", []refusal.Kind{refusal.Plan}},
	{Faults, "the proof found faults", []refusal.Kind{refusal.Faults}},
	{Interrupted, "interrupted", []refusal.Kind{refusal.Interrupted}},
}

// statusEntries is the table as the help has it.
func statusEntries() (out []entry) {
	for _, s := range statuses {
		out = append(out, entry{fmt.Sprint(int(s.status)), s.meaning})
	}
	return out
}

// statusOf is the one place where errors become statuses. The order matters:
// an interrupted write is an interruption, a full disk is one wherever it shows.
func statusOf(err error) Status {
	var kind *regular.KindError
	var path *fs.PathError
	switch {
	case errors.Is(err, context.Canceled):
		return Interrupted
	case tooManyFiles(err):
		return Unexpected
	case errors.As(err, &kind):
		return Unreadable // whatever it was to be read as
	case errors.Is(err, syscall.ENOSPC):
		return Output
	}
	for _, s := range statuses {
		if slices.Contains(s.kinds, refusal.Of(err)) {
			return s.status
		}
	}
	if errors.As(err, &path) {
		return Output
	}
	return Unexpected
}

// tooManyFiles tells whether the system refused to open one more file, which
// is no fault of the file.
func tooManyFiles(err error) bool {
	return errors.Is(err, syscall.EMFILE) || errors.Is(err, syscall.ENFILE)
}

// hintOf is what the person can do about an error, if there is anything.
func hintOf(err error, cmd *cobra.Command) phrase.Sentence {
	switch hint := refusal.Hint(err); {
	case !hint.IsZero():
		return hint
	case tooManyFiles(err):
		return phrase.New("close other programs, or raise the limit, on a command line with ulimit -n 1024")
	case errors.Is(err, syscall.ENOSPC):
		return phrase.New("make room on the disk or choose another place with %s", phrase.Set("out"))
	case statusOf(err) == Output:
		return phrase.New("choose another place with %s", phrase.Set("out"))
	case refusal.Of(err) == refusal.Command:
		return phrase.New("see '%s --help'", cmd.CommandPath())
	}
	return phrase.Sentence{}
}
