// Package joblog is what happens to a job after it has been prepared, in a file of its folder: sheets printed,
// good and spoiled, and what was measured.
//
// The file is plain lines that a person can read and a program too; [Read] reads them, [Update] adds to
// them. A line once written stays: the file is kept when the job is replaced, because it is none of the job's own
// files. Printing keeps its journal for what is still to be sent; lines about it follow from that journal and
// are never written twice. [Log.Sum] adds up.
package joblog

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// What happened.
const (
	Printed  = "printed"  // a pass on a printer, of which a person has said what came out
	Checked  = "checked"  // a check sheet
	Reprint  = "reprint"  // files for sheets to be printed once more were made
	Measured = "measured" // the block, or its parts
	Noted    = "noted"    // by the person
)

// Line is one thing that happened. Its last fact is the plan it belongs to, see [PlanOf]: a line that a kill has cut
// short lacks it, or the end of it, and is no line.
type Line struct {
	Time   time.Time
	What   string
	Fields []Field
}

// Field is a fact of a line.
type Field struct{ Key, Value string }

// Get is the value of a key, empty if there is none.
func (l Line) Get(key string) string {
	if i := slices.IndexFunc(l.Fields, func(f Field) bool { return f.Key == key }); i >= 0 {
		return l.Fields[i].Value
	}
	return ""
}

// Number is a value that counts; 0 if it is none.
func (l Line) Number(key string) int {
	n, err := strconv.Atoi(l.Get(key))
	if err != nil {
		return 0
	}
	return max(0, n)
}

// With is the line with one more fact, unless that is empty.
func (l Line) With(key string, value any) Line {
	if text := fmt.Sprint(value); text != "" {
		l.Fields = append(slices.Clip(l.Fields), Field{key, text})
	}
	return l
}

// stamp is how times are written: the hour that the person's clock showed, and its place.
const stamp = "2006-01-02 15:04:05 -0700"

// String is the line as it stands in the file.
func (l Line) String() string {
	words := []string{l.Time.Format(stamp), l.What}
	for _, f := range l.Fields {
		value := f.Value
		if value == "" || strings.ContainsFunc(value, needsQuotes) || !utf8.ValidString(value) {
			value = strconv.Quote(value)
		}
		words = append(words, f.Key+"="+value)
	}
	return strings.Join(words, " ")
}

func needsQuotes(r rune) bool {
	return r == '"' || r == '\\' || unicode.IsSpace(r) || !unicode.IsPrint(r)
}

// parse reads a line of the file; ok is false for what is none.
func parse(text string) (l Line, ok bool) {
	if len(text) < len(stamp) {
		return l, false
	}
	var err error
	if l.Time, err = time.Parse(stamp, text[:len(stamp)]); err != nil {
		return l, false
	}
	rest := strings.TrimPrefix(text[len(stamp):], " ")
	l.What, rest, _ = strings.Cut(rest, " ")
	if !isWord(l.What) {
		return l, false
	}
	for rest != "" {
		key, after, found := strings.Cut(rest, "=")
		if !found || !isWord(key) {
			return l, false
		}
		value, _, _ := strings.Cut(after, " ")
		text := value
		if strings.HasPrefix(after, `"`) {
			if value, err = strconv.QuotedPrefix(after); err != nil {
				return l, false
			}
			if text, err = strconv.Unquote(value); err != nil {
				return l, false
			}
		}
		l.Fields = append(l.Fields, Field{key, text})
		rest = after[len(value):]
		if rest != "" && !strings.HasPrefix(rest, " ") {
			return l, false
		}
		rest = strings.TrimPrefix(rest, " ")
	}
	return l, len(l.Fields) > 0 && l.Fields[len(l.Fields)-1].isPlan()
}

// planDigits is how many hexadecimal digits name a plan.
const planDigits = 12

func (f Field) isPlan() bool {
	return f.Key == PlanKey && len(f.Value) == planDigits && strings.Trim(f.Value, "0123456789abcdef") == ""
}

// PlanKey is the key of the plan.
const PlanKey = "plan"

func isWord(text string) bool {
	return text != "" && strings.Trim(text, "abcdefghijklmnopqrstuvwxyz-") == ""
}

// Text is the line as a person reads it, without its time.
func (l Line) Text() string {
	switch l.What {
	case Printed:
		text := fmt.Sprintf("run %s, %s", l.Get("run"), l.Get("pass"))
		if l.Get("portion") != "" {
			text += ", portion " + l.Get("portion")
		}
		if l.Get("again") != "" {
			text = fmt.Sprintf("sheet %s once more, %s", l.Get("numbers"), l.Get("pass"))
		}
		text += fmt.Sprintf(": %d sent, %d good", l.Number("sent"), l.Number("good"))
		if l.Get("spoiled") != "" {
			text += ", spoiled: " + l.Get("spoiled")
		}
		return text
	case Checked:
		return "check sheet: right " + l.Get("right")
	case Reprint:
		text := "files made to print sheets once more: " + l.Get("numbers")
		if l.Get("side") != "" {
			text += ", only the back"
		}
		return text
	}
	var facts []string
	for _, f := range l.Fields {
		if !f.isPlan() {
			facts = append(facts, strings.ReplaceAll(f.Key, "-", " ")+" "+f.Value)
		}
	}
	return l.What + ": " + strings.Join(facts, ", ")
}
