package runsheet

import (
	"fmt"
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// size is a gathering's size in a form.
func (g Gathering) size(f reorder.Form) int {
	if f.ByPieces {
		return g.Pieces
	}
	return g.Sheets
}

// stack is the sheets that are cut as one, and the gatherings that are counted off its pieces.
type stack struct {
	sheets     Pages // of the book
	gatherings []int // places among the job's
	spare      int   // pieces that are left
}

// stacksOf is the stacks of a job whose gatherings are counted in pieces.
func (j Job) stacksOf(sheets, spare []int) []stack {
	var out []stack
	next, g := j.Gatherings[0].First, 0
	for i, n := range sheets {
		s := stack{sheets: Pages{next, next + n - 1}}
		if spare != nil {
			s.spare = spare[i]
		}
		for left := n*j.Form.Cut - s.spare; left > 0 && g < len(j.Gatherings); g++ {
			left -= j.Gatherings[g].Pieces
			s.gatherings = append(s.gatherings, g)
		}
		out, next = append(out, s), next+n
	}
	return out
}

// spareOf is how many pieces are left of each stack; nil: none.
func (j Job) spareOf() []int {
	for _, m := range j.Handwork[1:] {
		if deal, ok := m.(reorder.Deal); ok {
			return deal.Spare
		}
	}
	return nil
}

// names is the gatherings of a stack as a list.
func (s stack) names(j Job) string {
	var out []string
	for _, g := range s.gatherings {
		out = append(out, fmt.Sprint(j.Gatherings[g].Number))
	}
	return refusal.List(out, "and")
}

// TakeStacks divides the stack into those that are cut as one.
type TakeStacks struct {
	Job
	Sheets, Spare []int
}

func (t TakeStacks) Text() Text {
	stacks := t.stacksOf(t.Sheets, t.Spare)
	if len(stacks) == 1 {
		return text("All sheets are cut as one stack. Keep them in their order, fronts up.")
	}
	out := text("Take the stack apart from the top into {} smaller ones. Each is cut as one. Set each aside separately, in order, fronts up:", len(stacks))
	if slices.ContainsFunc(stacks, func(s stack) bool { return len(s.gatherings) > 1 }) {
		out.More = append(out.More, say("A sheet can carry pieces of several {}: they are only sorted after cutting.", wGathering.as("gatherings")))
	}
	if t.Copies > 1 {
		out.More = append(out.More, say("These are the sheets of copy 1. In each further copy their numbers are higher by {}.", t.BookSheets))
	}
	out.Table = [][]Sentence{{say("stack"), say("sheets"), say("gatherings")}}
	for i, s := range stacks {
		out.Table = append(out.Table, []Sentence{say("{}", i+1), say("{}", s.sheets.String()), say("{}", s.names(t.Job))})
	}
	if t.SideNames {
		out.More = append(out.More, say("The {} on each sheet begins with its number.", wSideName))
	}
	return out
}

// CountOffStacks counts the gatherings off the pieces of each stack.
type CountOffStacks struct {
	Job
	Sheets, Pieces, Spare []int
}

func (c CountOffStacks) Text() Text {
	stacks := c.stacksOf(c.Sheets, c.Spare)
	out := text("Count the pieces off from the top of each cut stack, one {} after the other:", wGathering)
	if len(stacks) == 1 {
		out = text("Count the pieces off from the top of the cut stack, one {} after the other:", wGathering)
	}
	row := func(stack string, cells []Sentence) {
		if len(stacks) > 1 {
			cells = slices.Insert(cells, 0, say("{}", stack))
		}
		out.Table = append(out.Table, cells)
	}
	row("stack", c.addLetter("letter", say("gathering"), say("pieces")))
	spare := false
	for i, s := range stacks {
		stack := fmt.Sprint(i + 1)
		for _, g := range s.gatherings {
			number := c.Gatherings[g].Number
			row(stack, c.addLetter(c.Marks.Signing.Name(number), say("{}", number), say("{}", c.Pieces[g])))
		}
		if s.spare > 0 {
			spare = true
			row(stack, c.addLetter("", say("spare"), say("{}", s.spare)))
		}
	}
	if c.SideNames {
		out.More = append(out.More, say("The {} on each piece says to which gathering it belongs, and its place there.", wSideName))
	}
	if spare {
		out.More = append(out.More, say("What is left at the bottom says \"spare\" and belongs to no gathering: try the fold on it."))
	}
	out.More = append(out.More, say("If a count does not come out, stop: a sheet is missing or doubled. Look through the pieces before you fold."))
	return out
}
