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
func (s *Spacing) UnmarshalText(text []byte) error { return enum.Parse(s, spacingWords, string(text)) }

// Back is the shape of the back.
type Back int

const (
	Flat Back = iota + 1
	Rounded
)

var backWords = enum.Words{What: "back", List: []string{"flat", "rounded"}}

func (b Back) String() string                   { return backWords.Of(int(b)) }
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
func (c *Cover) UnmarshalText(text []byte) error { return enum.Parse(c, coverWords, string(text)) }

// Structure is the rules of one way of binding.
type Structure struct {
	Format int    `yaml:"format"`
	Name   string `yaml:"name"`
	Title  string `yaml:"title"`

	Sewn    Sewn    `yaml:"sewn"`
	Support Support `yaml:"supports"`
	Width   Length  `yaml:"support-width"` // of a tape; 0 with cords

	// Stations, from the trimmed head and tail.
	Spacing     Spacing  `yaml:"spacing"`
	Heights     []Length `yaml:"heights"` // up to Heights[i] the back has Numbers[i] supports, or inner holes
	Numbers     []int    `yaml:"numbers"`
	Step        int      `yaml:"step"` // by which their number changes
	EndHead     Length   `yaml:"end-head"`
	EndTail     Length   `yaml:"end-tail"`
	TailLonger  Length   `yaml:"tail-longer"`  // with portions
	FirstHead   Length   `yaml:"first-head"`   // with ends
	LastTail    Length   `yaml:"last-tail"`    // with ends
	WidestGap   Length   `yaml:"widest-gap"`   // else there is a support more
	NarrowGap   Length   `yaml:"narrow-gap"`   // else there is a support less
	FromBack    Length   `yaml:"from-back"`    // of holes through the side
	LacingHoles Length   `yaml:"lacing-holes"` // in boards, from the back; 0: none

	// Thread and swelling.
	Thread      Range  `yaml:"thread"`       // diameter
	Over        Range  `yaml:"thread-over"`  // lengths over, in gatherings
	Start       Length `yaml:"thread-start"` // the tail one begins with
	Times       Range  `yaml:"thread-times"` // of the back: of what is sewn in one go
	TwoOn       bool   `yaml:"two-on"`
	Pressed     Range  `yaml:"pressed"`         // what is left of the swelling
	SwellWanted Range  `yaml:"swelling-wanted"` // of the block, pressed
	Slip        Length `yaml:"slip"`            // of a support, each side
	CordTimes   Range  `yaml:"cord-times"`      // the block's thickness; 0: slips say it

	// Boards, cloth and what lies on the back.
	Back      Back   `yaml:"back"`
	Cover     Cover  `yaml:"cover"`
	Board     Range  `yaml:"board"` // thickness
	Joint     Length `yaml:"joint"`
	Square    Length `yaml:"square"`
	TurnIn    Length `yaml:"turn-in"`
	Quarter   Length `yaml:"quarter"`      // the share of the board's width that quarter cloth covers
	Lap       Length `yaml:"lap"`          // of paper sides on the cloth
	LiningEnd Length `yaml:"lining-short"` // by how much linings end before head and tail
	Wings     Length `yaml:"wings"`        // of the first lining onto each side
	Spares    Range  `yaml:"spares"`       // share of the sheets
}

// Error says why figures or rules are refused.
type Error struct{ What, Advice string }

func (e *Error) Error() string { return e.What }

// Hint is what can be done about it.
func (e *Error) Hint() string { return e.Advice }

func refuse(advice, format string, args ...any) error {
	return &Error{fmt.Sprintf(format, args...), advice}
}

// Check refuses rules that contradict each other with an [*Error].
func (s Structure) Check() error {
	for _, r := range []struct {
		key string
		v   Range
	}{
		{"thread", s.Thread}, {"board", s.Board}, {"joint", s.Joint.mm()}, {"square", s.Square.mm()}, {"turn-in", s.TurnIn.mm()},
		{"pressed", s.Pressed}, {"swelling-wanted", s.SwellWanted}, {"slip", s.Slip.mm()}, {"end-head", s.EndHead.mm()},
		{"end-tail", s.EndTail.mm()}, {"first-head", s.FirstHead.mm()}, {"last-tail", s.LastTail.mm()}, {"spares", s.Spares},
		{"support-width", s.Width.mm()}, {"tail-longer", s.TailLonger.mm()}, {"from-back", s.FromBack.mm()}, {"quarter", s.Quarter.mm()},
		{"lap", s.Lap.mm()}, {"lining-short", s.LiningEnd.mm()}, {"wings", s.Wings.mm()}, {"thread-over", s.Over},
		{"thread-times", s.Times}, {"thread-start", s.Start.mm()}, {"cord-times", s.CordTimes}, {"lacing-holes", s.LacingHoles.mm()},
	} {
		if r.v.Least < 0 {
			return refuse("", "%s cannot be below nought", r.key)
		}
	}
	switch {
	case s.Format != 1:
		return refuse("", "format has to be 1")
	case s.Name == "" || s.Title == "":
		return refuse("", "name and title have to be given")
	case s.Sewn == 0 || s.Support == 0 || s.Spacing == 0 || s.Back == 0 || s.Cover == 0:
		return refuse("", "sewn, supports, spacing, back and cover have to be given")
	case len(s.Heights) == 0 || len(s.Heights) != len(s.Numbers):
		return refuse("", "heights and numbers have to be lists of the same length")
	case s.Thread.Least <= 0:
		return refuse("", "thread has to be given: its diameter")
	case s.NarrowGap <= 0 || s.WidestGap < 2*s.NarrowGap:
		return refuse("", "widest-gap has to be at least twice narrow-gap, and that above nought")
	case s.Step < 1:
		return refuse("", "step has to be at least 1")
	case s.Cover != Paper && (s.Board.Least <= 0 || s.TurnIn <= 0 || s.Square <= 0):
		return refuse("", "with boards, board, turn-in and square have to be given")
	case s.Support == Tapes && s.Width <= 0:
		return refuse("", "of tapes, support-width has to be given")
	case s.Sewn == Folds && s.Over.Least <= 0, s.Sewn != Folds && s.Times.Least <= 0:
		return refuse("", "how much thread is needed has to be given: thread-over for gatherings on supports, thread-times for others")
	case s.Sewn == Folds && s.Pressed.Least <= 0:
		return refuse("", "pressed has to be given")
	}
	for i, h := range s.Heights {
		if h <= 0 || s.Numbers[i] < 0 || i > 0 && (h <= s.Heights[i-1] || s.Numbers[i] < s.Numbers[i-1]) {
			return refuse("", "heights have to rise, and numbers not to fall")
		}
	}
	return nil
}
