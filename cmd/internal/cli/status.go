package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/learn"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/proof/preview"
	"foldwright/cmd/internal/proof/simulate"
	"foldwright/cmd/internal/publish"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/shelf"
	"foldwright/cmd/internal/structure"
	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/profiles"
	"foldwright/profiles/regular"
	"foldwright/reorder"
	"foldwright/reorder/binding"
	"foldwright/reorder/enum"
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

var statusMeanings = []struct {
	status  Status
	meaning string
}{
	{Done, "done, perhaps with warnings"},
	{Unexpected, "something unexpected went wrong"},
	{WrongUse, "wrong use: flags or arguments"},
	{Partly, "partly done: a shelf with titles that failed, or pages that could not be drawn"},
	{Unreadable, "the input cannot be read"},
	{Locked, "a password or a permission is needed"},
	{Output, "the output exists, cannot be written, or the disk is full"},
	{Refused, "the plan, paper, printer or profile was refused"},
	{Faults, "the proof found faults"},
	{Interrupted, "interrupted"},
}

// statusTable is the end of every help text.
func statusTable() string {
	var out strings.Builder
	out.WriteString("\nExit statuses:\n")
	for _, s := range statusMeanings {
		fmt.Fprintf(&out, "  %3d  %s\n", s.status, s.meaning)
	}
	return out.String()
}

// useError marks an error as wrong use of the command line.
type useError struct{ err error }

func (e *useError) Error() string { return e.err.Error() }
func (e *useError) Unwrap() error { return e.err }

// is tells whether the error is, or wraps, an error of type T.
func is[T error](err error) bool {
	var target T
	return errors.As(err, &target)
}

// statusOf is the one place where errors become statuses. The order matters:
// an interrupted write is an interruption, a full disk is one wherever it shows.
func statusOf(err error) Status {
	switch {
	case errors.Is(err, context.Canceled):
		return Interrupted
	case tooManyFiles(err):
		return Unexpected
	case is[*partlyError](err), is[*proof.UncheckedError](err), is[*preview.UndrawnError](err):
		return Partly
	case is[*regular.KindError](err):
		return Unreadable // whatever it was to be read as
	case is[*simulate.FaultError](err), is[*proof.Error](err):
		return Faults
	case is[*simulate.MismatchError](err):
		return Refused
	case is[*pictureError](err):
		return Output
	case is[*useError](err), is[*options.UseError](err), is[*options.NameError](err),
		is[*learning.MissingError](err), is[*profiles.NameError](err), errors.Is(err, learn.ErrEnded):
		return WrongUse
	case is[*shelfError](err), is[*shelf.ReportError](err):
		return Unreadable
	case is[*shelf.WorklistError](err), is[*shelf.PlaceError](err), is[*shelf.SettingError](err):
		return WrongUse
	case is[*profiles.Error](err), errors.Is(err, profiles.ErrUnknown),
		is[*reorder.PaperError](err), is[*reorder.CapacityError](err), is[*reorder.FormError](err),
		is[*reorder.LeavesPanelError](err), is[*plan.Error](err), is[*options.ChoiceError](err),
		is[*printer.FactError](err), is[*printer.ContradictionError](err),
		is[*learning.Contradiction](err), is[*learning.DialogError](err), is[*refusedError](err),
		is[*structure.Error](err), is[*binding.Error](err):
		return Refused
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, publish.ErrExists),
		errors.Is(err, publish.ErrForeign), errors.Is(err, publish.ErrBusy), errors.Is(err, profiles.ErrExists),
		is[*publish.SourceError](err), is[*publish.TakenError](err), is[*publish.LeftError](err):
		return Output
	case errors.Is(err, pdf.ErrPassword), errors.Is(err, pdf.ErrWrongPassword), errors.Is(err, pdf.ErrNoPrinting):
		return Locked
	case is[*pdf.Error](err), is[*render.Error](err), is[*plan.SourceError](err):
		return Unreadable
	case is[*options.ValueError](err), is[*enum.Error](err), is[*reorder.WeightError](err):
		return WrongUse
	case is[*fs.PathError](err):
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
func hintOf(err error, cmd *cobra.Command) string {
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) && hinted.Hint() != "" {
		return hinted.Hint()
	}
	var leaves *reorder.LeavesPanelError
	switch {
	case tooManyFiles(err):
		return "close other programs, or raise the limit, on a command line with ulimit -n 1024"
	case errors.As(err, &leaves):
		// Rounded down, so that what is proposed fits; the twentieth of a
		// percent is below what is noticed.
		return fmt.Sprintf("--scale %d%% fits all pages, --scale fit finds the scale itself, --clip cuts off what is too large", int(leaves.Fits*100+0.05))
	case errors.Is(err, publish.ErrExists):
		return "choose another place with --out, or write --replace to replace it"
	case errors.Is(err, profiles.ErrExists):
		return "choose another name, or write --replace to replace it"
	case errors.Is(err, publish.ErrHere):
		return "go to another folder, such as the one above, and give this one with --out"
	case errors.Is(err, publish.ErrBusy):
		return "wait until it is done"
	case errors.Is(err, syscall.ENOSPC):
		return "make room on the disk or choose another place with --out"
	case statusOf(err) == Output:
		return "choose another place with --out"
	case is[*useError](err):
		return fmt.Sprintf("see '%s --help'", cmd.CommandPath())
	}
	return ""
}
