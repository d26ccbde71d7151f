package binding

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
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
	Width   Length  `yaml:"support-width" json:"support-width" most:"60 mm"` // of a tape; 0 with cords

	// Stations, from the trimmed head and tail.
	Spacing     Spacing  `yaml:"spacing" json:"spacing"`
	Heights     []Length `yaml:"heights" json:"heights"` // up to Heights[i] the back has Numbers[i] supports, or inner holes
	Numbers     []int    `yaml:"numbers" json:"numbers"`
	Step        int      `yaml:"step" json:"step"` // by which their number changes
	EndHead     Length   `yaml:"end-head" json:"end-head" most:"150 mm"`
	EndTail     Length   `yaml:"end-tail" json:"end-tail" most:"150 mm"`
	TailLonger  Length   `yaml:"tail-longer" json:"tail-longer" most:"100 mm"`  // with portions
	FirstHead   Length   `yaml:"first-head" json:"first-head" most:"200 mm"`    // with ends
	LastTail    Length   `yaml:"last-tail" json:"last-tail" most:"200 mm"`      // with ends
	WidestGap   Length   `yaml:"widest-gap" json:"widest-gap" most:"300 mm"`    // else there is a support more
	NarrowGap   Length   `yaml:"narrow-gap" json:"narrow-gap" most:"100 mm"`    // else there is a support less
	FromBack    Length   `yaml:"from-back" json:"from-back" most:"40 mm"`       // of holes through the side
	LacingHoles Length   `yaml:"lacing-holes" json:"lacing-holes" most:"60 mm"` // in boards, from the back; 0: none

	// Thread and swelling.
	Thread      Range  `yaml:"thread" json:"thread" most:"3 mm"`               // diameter
	Over        Range  `yaml:"thread-over" json:"thread-over" most:"20"`       // lengths over, in gatherings
	Start       Length `yaml:"thread-start" json:"thread-start" most:"500 mm"` // the tail one begins with
	Times       Range  `yaml:"thread-times" json:"thread-times" most:"20"`     // of the back: of what is sewn in one go
	TwoOn       bool   `yaml:"two-on" json:"two-on"`
	Pressed     Range  `yaml:"pressed" json:"pressed" most:"1"`                 // what is left of the swelling
	SwellWanted Range  `yaml:"swelling-wanted" json:"swelling-wanted" most:"1"` // of the block, pressed
	Slip        Length `yaml:"slip" json:"slip" most:"200 mm"`                  // of a support, each side
	CordTimes   Range  `yaml:"cord-times" json:"cord-times" most:"20"`          // the block's thickness; 0: slips say it

	// Boards, cloth and what lies on the back.
	Back      Back   `yaml:"back" json:"back"`
	Cover     Cover  `yaml:"cover" json:"cover"`
	Board     Range  `yaml:"board" json:"board" most:"10 mm"` // thickness
	Joint     Length `yaml:"joint" json:"joint" most:"30 mm"`
	Square    Length `yaml:"square" json:"square" most:"30 mm"`
	TurnIn    Length `yaml:"turn-in" json:"turn-in" most:"150 mm"`
	Quarter   Length `yaml:"quarter" json:"quarter" most:"0.5"`              // the share of the board's width that quarter cloth covers
	Lap       Length `yaml:"lap" json:"lap" most:"50 mm"`                    // of paper sides on the cloth
	LiningEnd Length `yaml:"lining-short" json:"lining-short" most:"100 mm"` // by how much linings end before head and tail
	Wings     Length `yaml:"wings" json:"wings" most:"100 mm"`               // of the first lining onto each side
	Spares    Range  `yaml:"spares" json:"spares" most:"1"`                  // share of the sheets
}

// checkBounds refuses a rule that is below nought or above its tag most, which is a length
// in mm, a number or a share. So a slip of the pen is found, and no craft is forbidden.
func (s Structure) checkBounds() error {
	rules := reflect.ValueOf(s)
	for _, f := range reflect.VisibleFields(rules.Type()) {
		bound := f.Tag.Get("most")
		number, unit, _ := strings.Cut(bound, " ")
		most, err := strconv.ParseFloat(number, 64)
		if err != nil {
			continue // it has no bounds
		}
		rule, isRange := rules.FieldByIndex(f.Index).Interface().(Range)
		if !isRange {
			rule = Exactly(rules.FieldByIndex(f.Index).Float())
		}
		if rule.Least >= 0 && rule.Most <= most {
			continue
		}
		key := f.Tag.Get("yaml")
		return refuseRule(key, fmt.Sprintf("%s of %s cannot be, it lies between 0 and %s", key, strings.TrimSpace(rule.String()+" "+unit), bound))
	}
	return nil
}

// RuleError refuses rules that contradict each other, or one that cannot be.
type RuleError struct {
	error
	Key string // of the rule that is wrong; empty if it is none in particular
}

func (e *RuleError) Unwrap() error { return e.error }

func refuseRule(key, sentence string) error { return &RuleError{refusal.Plan.New("%s", sentence), key} }

// Check refuses rules that cannot be with a [*RuleError].
func (s Structure) Check() error {
	if err := s.checkBounds(); err != nil {
		return err
	}
	for _, rule := range []struct {
		broken     bool
		key, words string
	}{
		{s.Format != 1, "format", "format has to be 1"},
		{s.Name == "" || s.Title == "", "name", "name and title have to be given"},
		{s.Sewn == 0 || s.Support == 0 || s.Spacing == 0 || s.Back == 0 || s.Cover == 0, "", "sewn, supports, spacing, back and cover have to be given"},
		{len(s.Heights) == 0 || len(s.Heights) != len(s.Numbers), "heights", "heights and numbers have to be lists of the same length"},
		{s.Thread.Least <= 0, "thread", "thread has to be given: its diameter"},
		{s.NarrowGap <= 0 || s.WidestGap < 2*s.NarrowGap, "widest-gap", "widest-gap has to be at least twice narrow-gap, and that above nought"},
		{s.Step < 1, "step", "step has to be at least 1"},
		{s.Cover != Paper && (s.Board.Least <= 0 || s.TurnIn <= 0 || s.Square <= 0), "", "with boards, board, turn-in and square have to be given"},
		{s.Support == Tapes && s.Width <= 0, "support-width", "of tapes, support-width has to be given"},
		{s.Sewn == Folds && s.Over.Least <= 0 || s.Sewn != Folds && s.Times.Least <= 0, "",
			"how much thread is needed has to be given: thread-over for gatherings on supports, thread-times for others"},
		{s.Sewn == Folds && s.Pressed.Least <= 0, "pressed", "pressed has to be given"},
		{s.Sewn == Side && s.FromBack <= 0, "from-back", "from-back has to be given: how far from the back the holes go through the side"},
	} {
		if rule.broken {
			return refuseRule(rule.key, rule.words)
		}
	}
	if s.Sewn != Folds && s.TwoOn {
		return &RuleError{refusal.Plan.New("%s cannot be sewn two on", s.Title).
			Advise("two gatherings are sewn on with one length of thread only where kettle stitches link them: in case, cords and tapes"), "two-on"}
	}
	for i, h := range s.Heights {
		if h <= 0 || s.Numbers[i] < 0 || i > 0 && (h <= s.Heights[i-1] || s.Numbers[i] < s.Numbers[i-1]) {
			return refuseRule("heights", "heights have to rise, and numbers not to fall")
		}
	}
	return nil
}
