package options

import (
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Marks is which marks are printed on the sheets.
type Marks struct {
	Given     bool
	Fold      bool // ticks on the creases
	Cut       bool // ticks on the cuts before folding
	Collation bool // steps down the back
	Stations  bool // in the innermost folds
	Corners   bool // of trimmed leaves
	Signing   reorder.Signing
}

// UsualMarks is all that help; of the two ways of naming a gathering the trade's.
var UsualMarks = Marks{true, true, true, true, true, true, reorder.Letters}

// switches is the marks by their words, in the order in which they are written.
func (m *Marks) switches() []struct {
	word string
	on   *bool
} {
	return []struct {
		word string
		on   *bool
	}{{"fold", &m.Fold}, {"cut", &m.Cut}, {"collation", &m.Collation}, {"stations", &m.Stations}, {"corners", &m.Corners}}
}

func (m Marks) String() string {
	if !m.Given {
		return ""
	}
	var words []string
	for _, s := range m.switches() {
		if *s.on {
			words = append(words, s.word)
		}
	}
	if w := signingWords[m.Signing]; w != "" {
		words = append(words, w)
	}
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ",")
}

func (m Marks) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads none, or words with commas between them.
func (m *Marks) UnmarshalText(text []byte) error {
	out := Marks{Given: true}
	if string(text) == "none" {
		*m = out
		return nil
	}
	for word := range strings.SplitSeq(string(text), ",") {
		if !out.set(strings.TrimSpace(word)) {
			return refusal.Use.New("%q is not a list of marks: use none, or some of fold,cut,collation,stations,corners and letter or number", text)
		}
	}
	*m = out
	return nil
}

// set turns a mark on; ok is false for other words, and for a second way of
// naming gatherings.
func (m *Marks) set(word string) (ok bool) {
	for _, s := range m.switches() {
		if s.word == word {
			*s.on = true
			return true
		}
	}
	for signing, w := range signingWords {
		if w == word && (m.Signing == 0 || m.Signing == signing) {
			m.Signing = signing
			return true
		}
	}
	return false
}

var signingWords = map[reorder.Signing]string{reorder.Letters: "letter", reorder.Numbers: "number"}
