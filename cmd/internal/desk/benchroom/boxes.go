package benchroom

import (
	"errors"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/options"
	"foldwright/reorder/refusal"
)

// box is something that can be measured or chosen.
type box struct {
	Key    string // by which it is kept
	Option string // of the command measure, which refusals and questions name
	Label  string
	Help   string
	Kind   kind
}

type kind string

const (
	length kind = "length"
	count  kind = "count"
	list   kind = "list"
	tick   kind = "tick"
)

// group is boxes that belong together.
type group struct {
	Title string
	Boxes []box
}

const (
	keyStructure = "structure"
	keyUnits     = "units"
	keyLeaves    = "stack-leaves"
	keyStack     = "stack"
	keyWidth     = "leaf-width"
	keyHeight    = "leaf-height"
)

// groups are all boxes, in the order in which a binder comes to them.
var groups = []group{
	{"Way of binding", []box{
		{keyStructure, "structure", "Way of binding", "", list},
		{keyUnits, "units", "Lengths", "", list},
		{"supports", "supports", "Number of cords, tapes or inner holes", "", count},
		{"two-on", "two-on", "Sew two gatherings on with one length of thread", "", tick},
	}},
	{"Before sewing", []box{
		{keyLeaves, "stack", "Stack of your paper: its leaves", "Such as 40, under light pressure.", count},
		{keyStack, "stack", "Stack of your paper: its thickness", "", length},
		{"thread", "thread", "Thickness of the thread", "", length},
	}},
	{"The sewn and pressed block", []box{
		{"block-thickness", "block-thickness", "Thickness of the block", "At its fore-edge.", length},
		{keyWidth, "leaf-size", "Width of a trimmed leaf", "", length},
		{keyHeight, "leaf-size", "Height of a trimmed leaf", "", length},
		{"spine", "spine", "Spine", "If it is rounded, over its curve: lay a strip of paper around it.", length},
	}},
	{"Boards", []box{
		{"board", "board", "Thickness of the board", "", length},
	}},
}

func boxes() (out []box) {
	for _, g := range groups {
		out = append(out, g.Boxes...)
	}
	return out
}

// withUnit is a typed length with its unit: a bare number is in the units that stand beside its box. A fraction
// of a millimetre stays as it is, and is refused.
func withUnit(text string, u binding.Units) string {
	if text == "" || strings.TrimRight(text, "0123456789.") == text || u == binding.MM && strings.Contains(text, "/") {
		return text
	}
	return text + u.String()
}

// withoutUnit is a kept length as its box shows it beside the units.
func withoutUnit(text string, u binding.Units) string {
	bare := strings.TrimSpace(strings.TrimSuffix(text, u.String()))
	if withUnit(bare, u) == text {
		return bare
	}
	return text
}

// wrongs is why boxes were not taken, by their keys.
type wrongs map[string]error

// read reads what was typed. What is refused is left out.
func read(typed map[string]string, volume int) (a measure.Asked, wrong wrongs) {
	wrong = wrongs{}
	take := func(key string, into interface{ UnmarshalText([]byte) error }) {
		if text := typed[key]; text != "" {
			if err := into.UnmarshalText([]byte(text)); err != nil {
				wrong[key] = err
			}
		}
	}
	m := &a.Measured
	a.Volume, a.TwoOn = volume, typed["two-on"] != ""
	take(keyStructure, known{&a.Structure})
	take(keyUnits, &a.Units)
	take("supports", number{&m.Supports})
	take("thread", (*measure.Length)(&m.Thread))
	take("block-thickness", (*measure.Length)(&m.Block))
	take("spine", (*measure.Length)(&m.Spine))
	take("board", (*measure.Length)(&m.Board))
	var width, height measure.Length
	take(keyWidth, &width)
	take(keyHeight, &height)
	if areBothTaken(typed, wrong, keyWidth, keyHeight, "measure the height of the leaf too", "measure the width of the leaf too") {
		a.Leaf = options.Dimensions{W: options.Length(width), H: options.Length(height)}
	}
	var leaves int
	var stack measure.Length
	take(keyLeaves, number{&leaves})
	take(keyStack, &stack)
	if areBothTaken(typed, wrong, keyLeaves, keyStack, "measure how thick these leaves are", "count the leaves of this stack") {
		m.StackLeaves, m.Stack = leaves, float64(stack)
	}
	return a, wrong
}

// areBothTaken tells whether two boxes that need each other are both taken, and says what is missing.
func areBothTaken(typed map[string]string, wrong wrongs, one, other, needsOther, needsOne string) bool {
	switch {
	case wrong[one] != nil || wrong[other] != nil:
		return false
	case typed[one] != "" && typed[other] == "":
		wrong[other] = refusal.Use.New("%s", needsOther)
		return false
	case typed[one] == "" && typed[other] != "":
		wrong[one] = refusal.Use.New("%s", needsOne)
		return false
	}
	return typed[one] != ""
}

// number reads a whole number from 1.
type number struct{ into *int }

func (n number) UnmarshalText(text []byte) (err error) {
	*n.into, err = options.ReadNumber(text, 1)
	return err
}

// known takes the names of built-in ways of binding only: a page reads no files.
type known struct{ into *string }

func (k known) UnmarshalText(text []byte) error {
	if structure.IsFile(string(text)) {
		return refusal.Plan.New("there is no way of binding called %q", text)
	}
	if _, err := structure.Text(string(text)); err != nil {
		return err
	}
	*k.into = string(text)
	return nil
}

// boxesBlamed is the boxes that an error of the engine is about, of those that were filled in; the sentence
// stands at the last.
func boxesBlamed(err error, typed map[string]string) (keys []string) {
	option := ""
	var measured *binding.MeasuredError
	var rule *binding.RuleError
	switch {
	case errors.As(err, &measured):
		option = measured.Option
	case errors.As(err, &rule):
		option = rule.Key
	}
	for _, b := range boxes() {
		if b.Option == option && typed[b.Key] != "" {
			keys = append(keys, b.Key)
		}
	}
	return keys
}
