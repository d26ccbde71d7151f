package refusal_test

import (
	"errors"
	"fmt"
	"io/fs"
	"testing"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// facts is an error with a type of its own.
type facts struct{ err error }

func (f facts) Error() string         { return "facts: " + f.err.Error() }
func (f facts) Unwrap() error         { return f.err }
func (f facts) Kind() refusal.Kind    { return refusal.Locked }
func (f facts) Hint() phrase.Sentence { return phrase.Sentence{} }

func TestKindAndHintComeFromTheOutermostThatHasOne(t *testing.T) {
	exists := refusal.Output.New("exists").Advise("replace it")
	for _, c := range []struct {
		err  error
		kind refusal.Kind
		hint string
		says string
	}{
		{nil, 0, "", ""},
		{fs.ErrNotExist, 0, "", "file does not exist"},
		{exists, refusal.Output, "replace it", "exists"},
		{fmt.Errorf("book %w", exists), refusal.Output, "replace it", "book exists"},
		{refusal.Use.New("%q cannot be, 7%%", "x"), refusal.Use, "", `"x" cannot be, 7%`},
		{refusal.Plan.New("plan: %w", exists), refusal.Plan, "replace it", "plan: exists"},
		{refusal.Plan.New("plan: %w", exists).Advise("plan again"), refusal.Plan, "plan again", "plan: exists"},
		{facts{exists}, refusal.Locked, "replace it", "facts: exists"},
		{errors.Join(fs.ErrNotExist, exists), refusal.Output, "replace it", "file does not exist\nexists"},
	} {
		says := ""
		if c.err != nil {
			says = c.err.Error()
		}
		if kind, hint := refusal.Of(c.err), refusal.Hint(c.err).String(); kind != c.kind || hint != c.hint || says != c.says {
			t.Errorf("%q has kind %d and hint %q, want %q, %d and %q", says, kind, hint, c.says, c.kind, c.hint)
		}
	}
	if !refusal.Hint(refusal.Output.New("exists")).IsZero() || !errors.Is(refusal.Plan.New("plan: %w", exists), exists) {
		t.Error("an error is not what it was made of")
	}
}

// TestAdviceIsGivenToACopy: what stands at the top of a package must not change.
func TestAdviceIsGivenToACopy(t *testing.T) {
	plain := refusal.Output.New("exists")
	if plain.Advise("replace it"); !plain.Hint().IsZero() {
		t.Errorf("it now says %q", plain.Hint())
	}
}
