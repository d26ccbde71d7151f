package runsheet

import (
	"fmt"
	"strings"
)

// Mark tells how a span of a sentence is set.
type Mark int

const (
	Plain   Mark = iota + 1
	Literal      // stands somewhere exactly so: a file's name, a side name, an option
	Word         // a trade word, explained where it first stands
	Value        // a measure
	Link         // leads to another part of the sheet
)

// Span is a stretch of a sentence that is set in one way.
type Span struct {
	Mark Mark
	Text string
	To   string // of a Word its entry among the meanings, of a Link the part's anchor
}

// Sentence is one or more sentences of running text.
type Sentence []Span

func (s Sentence) String() string {
	var b strings.Builder
	for _, span := range s {
		b.WriteString(span.Text)
	}
	return b.String()
}

// literal is text that stands somewhere exactly so.
type literal string

// amount is a measure of the book.
type amount string

// link is the heading of another part and its anchor.
type link struct{ text, to string }

// say fills the gaps {} of a text. A literal, a term and a link keep what
// they are; everything else becomes plain text. A gap for which nothing is
// given stays to be seen.
func say(text string, args ...any) Sentence {
	var out Sentence
	for i, piece := range strings.Split(text, "{}") {
		if i > 0 {
			if i > len(args) {
				out = out.plain("{}")
			} else {
				out = out.add(args[i-1])
			}
		}
		out = out.plain(piece)
	}
	return out
}

func (s Sentence) add(arg any) Sentence {
	switch v := arg.(type) {
	case literal:
		return append(s, Span{Literal, string(v), ""})
	case amount:
		return append(s, Span{Value, string(v), ""})
	case term:
		return append(s, Span{Word, v.shown, v.word})
	case link:
		return append(s, Span{Link, v.text, v.to})
	case Sentence:
		return append(s, v...)
	}
	return s.plain(fmt.Sprint(arg))
}

// plain adds plain text, joined to plain text before it.
func (s Sentence) plain(text string) Sentence {
	if text == "" {
		return s
	}
	if n := len(s); n > 0 && s[n-1].Mark == Plain {
		s[n-1].Text += text
		return s
	}
	return append(s, Span{Plain, text, ""})
}

// listed joins literals with commas and an and.
func listed(items []string) Sentence {
	var out Sentence
	for i, item := range items {
		switch {
		case i > 0 && i == len(items)-1:
			out = out.plain(" and ")
		case i > 0:
			out = out.plain(", ")
		}
		out = out.add(literal(item))
	}
	return out
}

// capital is the sentence with its first letter in upper case.
func (s Sentence) capital() Sentence {
	if len(s) > 0 && s[0].Mark == Plain {
		s[0].Text = strings.ToUpper(s[0].Text[:1]) + s[0].Text[1:]
	}
	return s
}
