package binding

import (
	"fmt"

	"foldwright/reorder/enum"
)

// Sewn is how the leaves are held.
type Sewn int

const (
	Folds        Sewn = iota + 1 // gatherings through their folds, linked by kettle stitches
	ThroughCover                 // gatherings through their folds and the cover: long stitch
	OneFold                      // one gathering through its fold: pamphlet
	Side                         // leaves through their side: stab
)

var sewnWords = enum.Words{What: "sewn", List: []string{"folds", "through-cover", "one-fold", "side"}}

func (s Sewn) String() string                   { return sewnWords.Of(int(s)) }
func (s Sewn) MarshalText() ([]byte, error)     { return []byte(s.String()), nil }
func (s *Sewn) UnmarshalText(text []byte) error { return enum.Parse(s, sewnWords, string(text)) }

// Support is what gatherings are sewn on.
type Support int

const (
	NoSupport Support = iota + 1
	Cords
	Tapes
)

var supportWords = enum.Words{What: "supports", List: []string{"none", "cords", "tapes"}}

func (s Support) String() string                   { return supportWords.Of(int(s)) }
func (s Support) MarshalText() ([]byte, error)     { return []byte(s.String()), nil }
func (s *Support) UnmarshalText(text []byte) error { return enum.Parse(s, supportWords, string(text)) }

// Spacing is how supports are shared out along the back.
type Spacing int

const (
	Between  Spacing = iota + 1 // equal gaps from one end station to the other
	Portions                    // the back in equal portions, the one at the tail longer
	Ends                        // the outer ones at set distances from head and tail, equal gaps between
)

var spacingWords = enum.Words{What: "spacing", List: []string{"between", "portions", "ends"}}

func (s Spacing) String() string                   { return spacingWords.Of(int(s)) }
func (s Spacing) MarshalText() ([]byte, error)     { return []byte(s.String()), nil }
func (s *Spacing) UnmarshalText(text []byte) error { return enum.Parse(s, spacingWords, string(text)) }

// Back is the shape of the back.
type Back int

const (
	Flat Back = iota + 1
	Rounded
)

var backWords = enum.Words{What: "back", List: []string{"flat", "rounded"}}

func (b Back) String() string                   { return backWords.Of(int(b)) }
func (b Back) MarshalText() ([]byte, error)     { return []byte(b.String()), nil }
func (b *Back) UnmarshalText(text []byte) error { return enum.Parse(b, backWords, string(text)) }

// Cover is what the book is covered with.
type Cover int

const (
	Paper  Cover = iota + 1 // a folded paper cover, no boards
	Case                    // boards and cloth made up by themselves, the block is hung in
	Boards                  // boards fastened to the block, then covered
)

var coverWords = enum.Words{What: "cover", List: []string{"paper", "case", "boards"}}

func (c Cover) String() string                   { return coverWords.Of(int(c)) }
func (c Cover) MarshalText() ([]byte, error)     { return []byte(c.String()), nil }
func (c *Cover) UnmarshalText(text []byte) error { return enum.Parse(c, coverWords, string(text)) }

// Structure is the rules of one way of binding.
type Structure struct {
	Format int    `yaml:"format" json:"format"`
	Name   string `yaml:"name" json:"name"`
	Title  string `yaml:"title" json:"title"`

	Sewn    Sewn    `yaml:"sewn" json:"sewn"`
	Support Support `yaml:"supports" json:"supports"`
	Width   Length  `yaml:"support-width" json:"support-width"` // of a tape; 0 with cords

	// Stations, from the trimmed head and tail.
	Spacing     Spacing  `yaml:"spacing" json:"spacing"`
	Heights     []Length `yaml:"heights" json:"heights"` // up to Heights[i] the back has Numbers[i] supports, or inner holes
	Numbers     []int    `yaml:"numbers" json:"numbers"`
	Step        int      `yaml:"step" json:"step"` // by which their number changes
	EndHead     Length   `yaml:"end-head" json:"end-head"`
	EndTail     Length   `yaml:"end-tail" json:"end-tail"`
	TailLonger  Length   `yaml:"tail-longer" json:"tail-longer"`   // with portions
	FirstHead   Length   `yaml:"first-head" json:"first-head"`     // with ends
	LastTail    Length   `yaml:"last-tail" json:"last-tail"`       // with ends
	WidestGap   Length   `yaml:"widest-gap" json:"widest-gap"`     // else there is a support more
	NarrowGap   Length   `yaml:"narrow-gap" json:"narrow-gap"`     // else there is a support less
	FromBack    Length   `yaml:"from-back" json:"from-back"`       // of holes through the side
	LacingHoles Length   `yaml:"lacing-holes" json:"lacing-holes"` // in boards, from the back; 0: none

	// Thread and swelling.
	Thread      Range  `yaml:"thread" json:"thread"`             // diameter
	Over        Range  `yaml:"thread-over" json:"thread-over"`   // lengths over, in gatherings
	Start       Length `yaml:"thread-start" json:"thread-start"` // the tail one begins with
	Times       Range  `yaml:"thread-times" json:"thread-times"` // of the back: of what is sewn in one go
	TwoOn       bool   `yaml:"two-on" json:"two-on"`
	Pressed     Range  `yaml:"pressed" json:"pressed"`                 // what is left of the swelling
	SwellWanted Range  `yaml:"swelling-wanted" json:"swelling-wanted"` // of the block, pressed
	Slip        Length `yaml:"slip" json:"slip"`                       // of a support, each side
	CordTimes   Range  `yaml:"cord-times" json:"cord-times"`           // the block's thickness; 0: slips say it

	// Boards, cloth and what lies on the back.
	Back      Back   `yaml:"back" json:"back"`
	Cover     Cover  `yaml:"cover" json:"cover"`
	Board     Range  `yaml:"board" json:"board"` // thickness
	Joint     Length `yaml:"joint" json:"joint"`
	Square    Length `yaml:"square" json:"square"`
	TurnIn    Length `yaml:"turn-in" json:"turn-in"`
	Quarter   Length `yaml:"quarter" json:"quarter"`           // the share of the board's width that quarter cloth covers
	Lap       Length `yaml:"lap" json:"lap"`                   // of paper sides on the cloth
	LiningEnd Length `yaml:"lining-short" json:"lining-short"` // by how much linings end before head and tail
	Wings     Length `yaml:"wings" json:"wings"`               // of the first lining onto each side
	Spares    Range  `yaml:"spares" json:"spares"`             // share of the sheets
}

// bound is what a rule may be at most, in mm, or as a number if it counts or is
// a share. None is below nought.
type bound struct {
	key    string
	of     Range
	most   float64
	number bool
}

// bounds is what is believed of rules: a slip of the pen is found, and no craft
// is forbidden.
func (s Structure) bounds() []bound {
	return []bound{
		{"support-width", s.Width.Exactly(), 60, false}, {"end-head", s.EndHead.Exactly(), 150, false}, {"end-tail", s.EndTail.Exactly(), 150, false},
		{"tail-longer", s.TailLonger.Exactly(), 100, false}, {"first-head", s.FirstHead.Exactly(), 200, false}, {"last-tail", s.LastTail.Exactly(), 200, false},
		{"widest-gap", s.WidestGap.Exactly(), 300, false}, {"narrow-gap", s.NarrowGap.Exactly(), 100, false}, {"from-back", s.FromBack.Exactly(), 40, false},
		{"lacing-holes", s.LacingHoles.Exactly(), 60, false}, {"thread", s.Thread, 3, false}, {"thread-over", s.Over, 20, true},
		{"thread-start", s.Start.Exactly(), 500, false}, {"thread-times", s.Times, 20, true}, {"pressed", s.Pressed, 1, true},
		{"swelling-wanted", s.SwellWanted, 1, true}, {"slip", s.Slip.Exactly(), 200, false}, {"cord-times", s.CordTimes, 20, true},
		{"board", s.Board, 10, false}, {"joint", s.Joint.Exactly(), 30, false}, {"square", s.Square.Exactly(), 30, false}, {"turn-in", s.TurnIn.Exactly(), 150, false},
		{"quarter", s.Quarter.Exactly(), 0.5, true}, {"lap", s.Lap.Exactly(), 50, false}, {"lining-short", s.LiningEnd.Exactly(), 100, false},
		{"wings", s.Wings.Exactly(), 100, false}, {"spares", s.Spares, 1, true},
	}
}

// Check refuses rules that contradict each other with an [*Error].
func (s Structure) Check() error {
	for _, b := range s.bounds() {
		if b.of.Least >= 0 && b.of.Most <= b.most {
			continue
		}
		if b.number {
			return &Error{Rule: b.key, What: newReason(fmt.Sprintf("%s of %s cannot be, it lies between 0 and %g", b.key, b.of, b.most))}
		}
		return &Error{Rule: b.key, What: newReason(b.key+" of {} cannot be, it lies between 0 and {}", b.of, Exactly(b.most))}
	}
	rule := func(key, words string) error { return &Error{Rule: key, What: newReason(words)} }
	switch {
	case s.Format != 1:
		return rule("format", "format has to be 1")
	case s.Name == "" || s.Title == "":
		return rule("name", "name and title have to be given")
	case s.Sewn == 0 || s.Support == 0 || s.Spacing == 0 || s.Back == 0 || s.Cover == 0:
		return rule("", "sewn, supports, spacing, back and cover have to be given")
	case len(s.Heights) == 0 || len(s.Heights) != len(s.Numbers):
		return rule("heights", "heights and numbers have to be lists of the same length")
	case s.Thread.Least <= 0:
		return rule("thread", "thread has to be given: its diameter")
	case s.NarrowGap <= 0 || s.WidestGap < 2*s.NarrowGap:
		return rule("widest-gap", "widest-gap has to be at least twice narrow-gap, and that above nought")
	case s.Step < 1:
		return rule("step", "step has to be at least 1")
	case s.Cover != Paper && (s.Board.Least <= 0 || s.TurnIn <= 0 || s.Square <= 0):
		return rule("", "with boards, board, turn-in and square have to be given")
	case s.Support == Tapes && s.Width <= 0:
		return rule("support-width", "of tapes, support-width has to be given")
	case s.Sewn == Folds && s.Over.Least <= 0, s.Sewn != Folds && s.Times.Least <= 0:
		return rule("", "how much thread is needed has to be given: thread-over for gatherings on supports, thread-times for others")
	case s.Sewn == Folds && s.Pressed.Least <= 0:
		return rule("pressed", "pressed has to be given")
	case s.Sewn != Folds && s.TwoOn:
		return &Error{Rule: "two-on", What: newReason(s.Title + " cannot be sewn two on"),
			Advice: "two gatherings are sewn on with one length of thread only where kettle stitches link them: in case, cords and tapes"}
	case s.Sewn == Side && s.FromBack <= 0:
		return rule("from-back", "from-back has to be given: how far from the back the holes go through the side")
	}
	for i, h := range s.Heights {
		if h <= 0 || s.Numbers[i] < 0 || i > 0 && (h <= s.Heights[i-1] || s.Numbers[i] < s.Numbers[i-1]) {
			return rule("heights", "heights have to rise, and numbers not to fall")
		}
	}
	return nil
}
