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
	out := slices.DeleteFunc(slices.Clone(file.Images), func(i Image) bool { return file.Pass == BothPass && i.Side == reorder.Back })
	return lists.ReverseIf(out, f.Sends == LastPageFirst)
}

// SheetsOut is the sheets of a file in the order in which they come out.
func (f Facts) SheetsOut(file File) []int {
	return lists.Map(f.ImagesOut(file), func(image Image) int { return image.Sheet })
}

// Deliver is the stack that lies in the delivery after a pass, of sheets given
// in the order in which they came out. Lands is about the face printed last, but of
// an automatic printer about the front.
func Deliver[S any](f Facts, pass Pass, sheets []S) Stack[S] {
	return Stack[S]{lists.ReverseIf(sheets, f.Stacks == OnTop), (f.Lands == FaceUp) == (pass != BackPass)}
}

// PutBack is the delivered stack as it lies in the tray for the second pass.
func (s Stack[S]) PutBack(r Reload) Stack[S] {
	return Stack[S]{lists.ReverseIf(s.Sheets, TurnsOver(r)), s.FrontsUp != TurnsOver(r)}
}

// Feed is the sheets of a loaded stack in the order in which the printer takes
// them.
func (s Stack[S]) Feed(from FeedFrom) []S {
	return lists.ReverseIf(s.Sheets, from == FromBottom)
}
