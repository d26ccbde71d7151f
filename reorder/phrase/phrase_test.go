package phrase_test

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"foldwright/reorder/phrase"
)

// loud is a style that no text has by accident.
type loud struct{}

func (loud) Setting(s phrase.Setting) string { return strings.ToUpper(s.Key + "=" + s.Value) }
func (loud) Command(c phrase.Command) string { return strings.ToUpper(c.Name) }

// told is an error of our own that has a style.
type told struct{ phrase.Sentence }

func (t told) Error() string { return t.String() }
func (t told) Unwrap() error { return t.Err() }

func TestSentencesAreWrittenInAStyle(t *testing.T) {
	six := phrase.Set("sheets", 6)
	refused := told{phrase.New("%s cannot be: %w", six, io.EOF)}
	for _, c := range []struct {
		s           phrase.Sentence
		plain, loud string
	}{
		{phrase.Sentence{}, "", ""},
		{phrase.New("50%% of %s", six), "50% of 'sheets: 6'", "50% of SHEETS=6"},
		{phrase.New("%s goes with %s", phrase.Set("nest"), six), "'nest' goes with 'sheets: 6'", "NEST= goes with SHEETS=6"},
		{phrase.New("first %s", phrase.Command{Name: "prepare", Arguments: []string{"a.pdf"}, Settings: []phrase.Setting{six, phrase.Set("proof")}}),
			"first foldwright prepare a.pdf with 'sheets: 6' and 'proof'", "first PREPARE"},
		{phrase.New("take %s", phrase.New("%s or 3", six)), "take 'sheets: 6' or 3", "take SHEETS=6 or 3"},
		{phrase.New("a.pdf: %w", refused), "a.pdf: 'sheets: 6' cannot be: EOF", "a.pdf: SHEETS=6 cannot be: EOF"},
		{phrase.New("a.pdf: %v", fmt.Errorf("title %d: %w", 3, refused)), "a.pdf: title 3: 'sheets: 6' cannot be: EOF", "a.pdf: title 3: SHEETS=6 cannot be: EOF"},
		{phrase.New("%w", errors.Join(refused, errors.New("two\nlines"))), "'sheets: 6' cannot be: EOF; two\nlines", "SHEETS=6 cannot be: EOF; two\nlines"},
		{phrase.New("%w", fmt.Errorf("%w, then %w", io.EOF, refused)), "EOF, then 'sheets: 6' cannot be: EOF", "EOF, then SHEETS=6 cannot be: EOF"},
	} {
		if plain, other := c.s.String(), c.s.In(loud{}); plain != c.plain || other != c.loud {
			t.Errorf("%q and %q, want %q and %q", plain, other, c.plain, c.loud)
		}
	}
	if !errors.Is(phrase.New("a.pdf: %w", refused).Err(), io.EOF) {
		t.Error("what a sentence wraps is lost")
	}
}
