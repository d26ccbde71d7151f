package printer

import (
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// Stack is what lies in a tray, from the top down. What stands for a sheet is
// for those to say who ask: its number, its name, or of a long stack only the first
// and the last.
type Stack[S any] struct {
	Sheets   []S
	FrontsUp bool
}

// ImagesOut is the images of a file in the order in which their sheets come out
// of the printer; sheets printed on both sides in one pass are told by their fronts.
func (f Facts) ImagesOut(file File) []Image {
	var out []Image
	for _, image := range file.Images {
		if file.Pass != BothPass || image.Side == reorder.Front {
			out = append(out, image)
		}
	}
	if f.Sends == LastPageFirst {
		slices.Reverse(out)
	}
	return out
}

// SheetsOut is the sheets of a file in the order in which they come out.
func (f Facts) SheetsOut(file File) []int {
	return lists.Map(f.ImagesOut(file), func(image Image) int { return image.Sheet })
}

// Deliver is the stack that lies in the delivery after a pass, of sheets given
// in the order in which they came out. Lands is about the face printed last, but of
// an automatic printer about the front.
func Deliver[S any](f Facts, pass Pass, sheets []S) Stack[S] {
	s := Stack[S]{slices.Clone(sheets), (f.Lands == FaceUp) == (pass != BackPass)}
	if f.Stacks == OnTop {
		slices.Reverse(s.Sheets)
	}
	return s
}

// PutBack is the delivered stack as it lies in the tray for the second pass.
func (s Stack[S]) PutBack(r Reload) Stack[S] {
	if r.Turns() {
		return s.TurnOver()
	}
	return s
}

// TurnOver is the stack turned over as a whole.
func (s Stack[S]) TurnOver() Stack[S] {
	sheets := slices.Clone(s.Sheets)
	slices.Reverse(sheets)
	return Stack[S]{sheets, !s.FrontsUp}
}

// Feed is the sheets of a loaded stack in the order in which the printer takes
// them.
func (s Stack[S]) Feed(from FeedFrom) []S {
	sheets := slices.Clone(s.Sheets)
	if from == FromBottom {
		slices.Reverse(sheets)
	}
	return sheets
}
