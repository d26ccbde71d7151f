// Package refusal is how the program says no: [Error] is one sentence, what can
// be done about it, and whose fault it is. All packages refuse with it, and one
// table of package cli turns its [Kind] into an exit status.
//
// Where a caller needs more facts than the sentence, an error has a type of its
// own, with a method Kind and perhaps a method Hint; [Of] and [Hint] ask both.
package refusal

import (
	"errors"
	"strings"

	"foldwright/reorder/phrase"
)

// Kind is whose fault it is, or what has become of the work.
type Kind int

const (
	Unexpected  Kind = iota // nobody's that is known
	Command                 // the command line is not what the command's help says
	Use                     // what was asked for cannot be meant, or contradicts itself
	Partly                  // it is done, but for a part of it
	Source                  // what was to be read cannot be read
	Locked                  // a password or a permission is missing
	Output                  // what was to be written is there already, or cannot be written
	Plan                    // the plan, the paper, the printer or its profile cannot be
	Faults                  // what was looked through has faults
	Interrupted             // the person has stopped it
)

// Error is a sentence with its kind and its hint.
type Error struct {
	kind     Kind
	sentence phrase.Sentence
	hint     phrase.Sentence
}

// New is an error of the kind without a hint; its sentence is made as by [fmt.Errorf].
func (k Kind) New(format string, args ...any) *Error {
	return &Error{kind: k, sentence: phrase.New(format, args...)}
}

// Advise is the same error with a hint, one phrase in lower case without a full stop.
func (e Error) Advise(format string, args ...any) *Error {
	e.hint = phrase.New(format, args...)
	return &e
}

func (e *Error) Error() string { return e.sentence.Err().Error() }
func (e *Error) Unwrap() error { return e.sentence.Err() }

// In writes the sentence in a style.
func (e *Error) In(style phrase.Style) string { return e.sentence.In(style) }

// Kind is whose fault it is.
func (e *Error) Kind() Kind { return e.kind }

// Hint is what the person can do about it; zero if there is nothing.
func (e *Error) Hint() phrase.Sentence { return e.hint }

// List names things as a sentence does: with "or", a, b or c.
func List(words []string, last string) string {
	n := len(words) - 1
	if n < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:n], ", ") + " " + last + " " + words[n]
}

// Of is the kind of the outermost error that has one: whoever wraps an error knows
// best what it means. It is [Unexpected] for what nobody has refused.
func Of(err error) Kind {
	var refused interface{ Kind() Kind }
	if errors.As(err, &refused) {
		return refused.Kind()
	}
	return Unexpected
}

// Hint is the outermost hint; zero if there is none.
func Hint(err error) phrase.Sentence {
	var hinted interface{ Hint() phrase.Sentence }
	for errors.As(err, &hinted) {
		if hint := hinted.Hint(); !hint.IsZero() {
			return hint
		}
		err = errors.Unwrap(hinted.(error))
	}
	return phrase.Sentence{}
}
