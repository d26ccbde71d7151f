package binding

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
)

// Sewn is how the leaves are held.
type Sewn = enum.Value[sewnWords]

const (
	Folds        Sewn = iota + 1 // gatherings through their folds, linked by kettle stitches
	ThroughCover                 // gatherings through their folds and the cover: long stitch
	OneFold                      // one gathering through its fold: pamphlet
	Side                         // leaves through their side: stab
)

type sewnWords struct{}

func (sewnWords) Words() enum.Words {
	return enum.New("sewn", "folds", "through-cover", "one-fold", "side")
}

// Support is what gatherings are sewn on.
type Support = enum.Value[supportWords]

const (
	NoSupport Support = iota + 1
	Cords
	Tapes
)

type supportWords struct{}

func (supportWords) Words() enum.Words { return enum.New("supports", "none", "cords", "tapes") }

// Spacing is how supports are shared out along the spine.
type Spacing = enum.Value[spacingWords]

const (
	Between  Spacing = iota + 1 // equal gaps from one end station to the other
	Portions                    // the spine in equal portions, the one at the tail longer
	Ends                        // the outer ones at set distances from head and tail, equal gaps between
)

type spacingWords struct{}

func (spacingWords) Words() enum.Words { return enum.New("spacing", "between", "portions", "ends") }

// Spine is the shape of the spine.
type Spine = enum.Value[spineWords]

const (
	Flat Spine = iota + 1
	Rounded
)

type spineWords struct{}

func (spineWords) Words() enum.Words { return enum.New("spine", "flat", "rounded") }

// Cover is what the book is covered with.
type Cover = enum.Value[coverWords]

const (
	Paper  Cover = iota + 1 // a folded paper cover, no boards
	Case                    // boards and cloth made up by themselves, the block is put into it
	Boards                  // boards fastened to the block, then covered
)

type coverWords struct{}

func (coverWords) Words() enum.Words { return enum.New("cover", "paper", "case", "boards") }

// Structure is the rules of one way of binding, lengths in mm; in plan.json their keys say so. Where a rule is a range and one place is
// needed, as for a station, it is the middle.
type Structure struct {
	Format int    `yaml:"format" json:"format"`
	Name   string `yaml:"name" json:"name"`
	Title  string `yaml:"title" json:"title"`

	Sewn    Sewn    `yaml:"sewn" json:"sewn"`
	Support Support `yaml:"supports" json:"supports"`
	Width   Range   `yaml:"support-width" json:"support-width-mm" most:"60 mm" small:"3"` // of a tape; 0 with cords
	Links   Links   `yaml:"links" json:"links,omitempty"`                                 // besides kettle stitches

	// Stations, from the trimmed head and tail.
	Spacing     Spacing `yaml:"spacing" json:"spacing"`
	Heights     []Range `yaml:"heights" json:"heights-mm"` // up to Heights[i] the spine has Numbers[i] supports, or inner holes
	Numbers     []int   `yaml:"numbers" json:"numbers"`
	Step        int     `yaml:"step" json:"step"` // by which their number changes
	EndHead     Range   `yaml:"end-head" json:"end-head-mm" most:"150 mm" small:"4"`
	EndTail     Range   `yaml:"end-tail" json:"end-tail-mm" most:"150 mm" small:"4"`
	TailLonger  Range   `yaml:"tail-longer" json:"tail-longer-mm" most:"100 mm" small:"1"`  // with portions
	FirstHead   Range   `yaml:"first-head" json:"first-head-mm" most:"200 mm" small:"6"`    // with ends: between what the middle of the first support lies
	LastTail    Range   `yaml:"last-tail" json:"last-tail-mm" most:"200 mm" small:"6"`      // with ends, of the last support
	WidestGap   Range   `yaml:"widest-gap" json:"widest-gap-mm" most:"300 mm"`              // else there is a support more
	NarrowGap   Range   `yaml:"narrow-gap" json:"narrow-gap-mm" most:"100 mm" small:"4"`    // else there is a support less
	FromSpine   Range   `yaml:"from-spine" json:"from-spine-mm" most:"40 mm" small:"4"`     // of holes through the side
	LacingHoles Range   `yaml:"lacing-holes" json:"lacing-holes-mm" most:"60 mm" small:"4"` // in boards, from the edge at the spine; 0: none

	// ShrinkBelow is the height of the leaf below which lengths shrink with it; 0: they never do.
	ShrinkBelow Range `yaml:"shrink-below" json:"shrink-below-mm" most:"150 mm"`

	// Thread and swelling.
	Thread      Range `yaml:"thread" json:"thread-mm" most:"3 mm" small:"0.2"`   // diameter
	Over        Range `yaml:"thread-over" json:"thread-over" most:"20"`          // lengths over, in gatherings
	Start       Range `yaml:"thread-start" json:"thread-start-mm" most:"500 mm"` // the tail one begins with
	Times       Range `yaml:"thread-times" json:"thread-times" most:"20"`        // of the spine: of what is sewn in one go
	TwoOn       bool  `yaml:"two-on" json:"two-on"`
	Pressed     Range `yaml:"pressed" json:"pressed" most:"1"`                 // what is left of the swelling
	SwellWanted Range `yaml:"swelling-wanted" json:"swelling-wanted" most:"1"` // of the block, pressed
	Slip        Range `yaml:"slip" json:"slip-mm" most:"200 mm" small:"12"`    // of a support, each side
	CordTimes   Range `yaml:"cord-times" json:"cord-times" most:"20"`          // the block's thickness; 0: slips say it

	// Boards, cloth and what lies on the spine.
	Spine       Spine `yaml:"spine" json:"spine"`
	Cover       Cover `yaml:"cover" json:"cover"`
	Board       Range `yaml:"board" json:"board-mm" most:"10 mm" small:"1"` // thickness
	Joint       Range `yaml:"joint" json:"joint-mm" most:"30 mm" small:"2"`
	JointBoards Range `yaml:"joint-boards" json:"joint-boards" most:"10"` // so many thicknesses of the board more
	Square      Range `yaml:"square" json:"square-mm" most:"30 mm"`
	TurnIn      Range `yaml:"turn-in" json:"turn-in-mm" most:"150 mm" small:"6"`
	Quarter     Range `yaml:"quarter" json:"quarter" most:"0.5"`                           // the share of the board's width that quarter cloth covers
	Lap         Range `yaml:"lap" json:"lap-mm" most:"50 mm" small:"1.5"`                  // of paper sides on the cloth
	LiningEnd   Range `yaml:"lining-short" json:"lining-short-mm" most:"100 mm" small:"1"` // by how much linings end before head and tail
	Overhang    Range `yaml:"overhang" json:"overhang-mm" most:"100 mm" small:"6"`         // of the first lining onto each side
	Spares      Range `yaml:"spares" json:"spares" most:"1"`                               // share of the sheets
}

// checkBounds refuses a rule that is below 0 or above its tag most, which is a length
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
		rule := rules.FieldByIndex(f.Index).Interface().(Range)
		if rule.Least >= 0 && rule.Most <= most {
			continue
		}
		key := f.Tag.Get("yaml")
		return refuseRule(key, fmt.Sprintf("%s of %s is not possible: it must be between 0 and %s", key, strings.TrimSpace(rule.String()+" "+unit), bound))
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
		{s.Format != 1, "format", "format must be 1"},
		{s.Name == "" || s.Title == "", "name", "name and title must be given"},
		{s.Sewn == 0 || s.Support == 0 || s.Spacing == 0 || s.Spine == 0 || s.Cover == 0, "", "sewn, supports, spacing, spine and cover must be given"},
		{len(s.Heights) == 0 || len(s.Heights) != len(s.Numbers), "heights", "heights and numbers must be lists of the same length"},
		{s.Thread.Least <= 0, "thread", "thread must be given: its diameter"},
		{s.NarrowGap.Least <= 0 || s.WidestGap.Least < 2*s.NarrowGap.Most, "widest-gap", "widest-gap must be at least twice narrow-gap, and narrow-gap greater than 0"},
		{s.Step < 1, "step", "step must be at least 1"},
		{s.Cover != Paper && (s.Board.Least <= 0 || s.TurnIn.Least <= 0 || s.Square.Least <= 0), "", "board, turn-in and square must be given for a cover with boards"},
		{s.Support == Tapes && s.Width.Least <= 0, "support-width", "support-width must be given for tapes"},
		{s.Sewn == Folds && s.Over.Least <= 0 || s.Sewn != Folds && s.Times.Least <= 0, "",
			"the length of thread must be given: as thread-over where gatherings are sewn through their folds, as thread-times otherwise"},
		{s.Sewn == Folds && s.Pressed.Least <= 0, "pressed", "pressed must be given"},
		{s.Sewn == Side && s.FromSpine.Least <= 0, "from-spine", "from-spine must be given: how far from the spine the holes go through the side"},
		{s.Links == OverTapes && (s.Sewn != Folds || s.Support != Tapes), "links", "links tapes needs sewn folds and supports tapes"},
		{s.Links == AtHoles && (s.Sewn != Folds || s.Support != NoSupport || s.Step%2 != 0 || slices.ContainsFunc(s.Numbers, func(n int) bool { return n%2 != 0 })), "links",
			"links holes needs sewn folds, supports none, and even numbers with an even step"},
	} {
		if rule.broken {
			return refuseRule(rule.key, rule.words)
		}
	}
	if (s.Sewn != Folds || s.Links != Kettles) && s.TwoOn {
		return &RuleError{refusal.Plan.New("%s cannot be sewn two on", s.Title).
			Advise("only structures that are linked by kettle stitches alone can be sewn two on: case, cords and flat-back"), "two-on"}
	}
	for i, h := range s.Heights {
		if h.Least <= 0 || s.Numbers[i] < 0 || i > 0 && (h.Least <= s.Heights[i-1].Most || s.Numbers[i] < s.Numbers[i-1]) {
			return refuseRule("heights", "heights must rise, and numbers must not fall")
		}
	}
	return nil
}

// Small books: rules of a structure are for books that are held in both hands. Below a
// height that the structure names, its lengths shrink in proportion: kettle stitches stand
// nearer the ends, tapes, joints and turn-ins are narrower, boards and thread thinner. A
// tag small is the least that hands and material allow, in mm. All of it is common
// practice, no source.

const (
	smallSquare      = 1.0 / 40 // of the height
	leastSmallSquare = 1.0      // mm
)

// shrinkTo is the rules for a book of a height in mm, and whether they shrink.
func (s Structure) shrinkTo(height float64) (Structure, bool) {
	if height >= s.ShrinkBelow.Middle() {
		return s, false
	}
	share := height / s.ShrinkBelow.Middle()
	rules := reflect.ValueOf(&s).Elem()
	for _, f := range reflect.VisibleFields(rules.Type()) {
		least, err := strconv.ParseFloat(f.Tag.Get("small"), 64)
		if err != nil {
			continue // it stays as it is
		}
		rule := rules.FieldByIndex(f.Index).Addr().Interface().(*Range)
		*rule = Range{shrink(rule.Least, share, least), shrink(rule.Most, share, least)}
	}
	square := max(leastSmallSquare, height*smallSquare)
	s.Square = Range{min(s.Square.Least, square), min(s.Square.Most, square)}
	return s, true
}

// shrink takes a share of a length, at least so much, and never more than the length.
func shrink(length, share, least float64) float64 { return min(length, max(length*share, least)) }
