// Package learning finds a printer's facts from what a person saw on the test
// sheet.
//
// A person looks at a pin, a pencil cross and, with three numbered sheets, at
// an order: [Answers]. Which answers each printer would have given is known,
// so [Answers.Learn] goes through every printer there can be and keeps those
// that agree. What all of these have in common is known; where they differ the
// usual case is assumed, and said to be assumed; and if none is left, the
// answers contradict each other and a [*Contradiction] says which to look at
// again. What was measured with a ruler and read on the verniers is a matter
// of its own: [Measured.Fit] makes a registration, scalings and unprintable
// edges of it.
//
// Nothing here asks anybody: the questions are put by package learn and the page in the browser.
package learning

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"foldwright/printer"
	"foldwright/reorder/enum"
)

// Reading is the number found where a pin comes out that was pushed through
// the corner K. The front carries K L M N in its corners, clockwise from the
// head's left, the back 1 2 3 4 likewise.
type Reading int

const (
	K1 Reading = iota + 1 // the two prints lie on one face, both upright
	K2                    // on two faces, turned like the page of a book
	K3                    // on one face, one of them upside down
	K4                    // on two faces, turned like the leaf of a wall calendar
)

// isSameFace tells whether the second print fell on the face of the first.
func (r Reading) isSameFace() bool { return r == K1 || r == K3 }

// flipEdge is the edge about which the sheet has been turned between its
// printings. A sheet that was printed twice on one face will be turned about
// its long edge as well.
func (r Reading) flipEdge() printer.FlipEdge {
	if r == K1 || r == K2 {
		return printer.LongEdge
	}
	return printer.ShortEdge
}

// Pencil tells whether the cross that was pencilled on the upper face of the
// blank sheet lies on the face that was printed first.
type Pencil = enum.Value[pencilWords]

const (
	OnPrinted Pencil = iota + 1
	OnUnprinted
)

// Top is the sheet on top of three that were printed in the order of their
// numbers, as they lie in the delivery; its number is read on the face that
// was printed last.
type Top = enum.Value[topWords]

const (
	TopFirst Top = iota + 1
	TopLast
)

// Pair tells whether the back I lies on the sheet with the front I, or on the
// sheet with the front III.
type Pair = enum.Value[pairWords]

const (
	PairSame Pair = iota + 1
	PairReversed
)

var readingWords = enum.New("reading", "K1", "K2", "K3", "K4")

type (
	pencilWords struct{}
	topWords    struct{}
	pairWords   struct{}
)

func (pencilWords) Words() enum.Words { return enum.New("pencil", "printed", "unprinted") }
func (topWords) Words() enum.Words    { return enum.New("top", "first", "last") }
func (pairWords) Words() enum.Words   { return enum.New("pair", "same", "reversed") }

func (v Reading) String() string { return readingWords.Of(int(v)) }

// UnmarshalText reads K2 as well as k2 and 2: the letter is always the same.
func (v *Reading) UnmarshalText(text []byte) error {
	word := strings.ToUpper(string(text))
	if !strings.HasPrefix(word, "K") {
		word = "K" + word
	}
	return enum.Parse(v, readingWords, word)
}

// Answers are what a person saw. The zero value of a field is "not answered".
type Answers struct {
	TwoSided printer.TwoSided
	Reload   printer.Reload // what was done with the sheet between the two printings
	Reading  Reading
	Pencil   Pencil
	Lands    printer.Lands
	Stacks   printer.Stacks
	FeedFrom printer.FeedFrom
	Sends    printer.Sends
	Top      Top  // three sheets
	Pair     Pair // three sheets
}

// Answer is what was answered to a question.
type Answer struct {
	Question Question
	Value    fmt.Stringer
}

// Given are the answers there are, in the order of the questions.
func (a Answers) Given() []Answer {
	all := []Answer{
		{AskTwoSided, a.TwoSided}, {AskReload, a.Reload}, {AskReading, a.Reading}, {AskPencil, a.Pencil}, {AskLands, a.Lands},
		{AskStacks, a.Stacks}, {AskFeedFrom, a.FeedFrom}, {AskSends, a.Sends}, {AskTop, a.Top}, {AskPair, a.Pair},
	}
	return slices.DeleteFunc(all, func(answer Answer) bool { return reflect.ValueOf(answer.Value).IsZero() })
}

// Question is one thing to look at. Its word is that of the flag.
type Question = enum.Value[questionWords]

const (
	AskTwoSided Question = iota + 1
	AskReload
	AskReading
	AskPencil
	AskLands
	AskStacks
	AskFeedFrom
	AskSends
	AskTop
	AskPair
	AskShift
	AskSkew
	AskRulerFront
	AskRulerBack
	AskMark
	AskEdges
)

type questionWords struct{}

func (questionWords) Words() enum.Words {
	return enum.New("question",
		"two-sided", "reload", "reading", "pencil", "lands", "stacks", "feed-from", "sends", "top", "pair",
		"shift", "skew", "ruler-front", "ruler-back", "mark", "edges",
	)
}
