package printer

import (
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/lists"
)

// Pass is one trip of a stack through the printer.
type Pass = enum.Value[passWords]

const (
	FrontPass Pass = iota + 1
	BackPass
	BothPass // an automatic printer prints both faces in one pass
)

type passWords struct{}

func (passWords) Words() enum.Words { return enum.New("pass", "front", "back", "both") }

// Image is one page of a print file: a side of a sheet of the run.
type Image struct {
	Sheet    int // within the run, from 1, in the order of the finished stack
	Side     reorder.Side
	HalfTurn bool // turned by 180 degrees against the plan
}

// File is what the computer is told to print in one pass, in the file's order.
type File struct {
	Pass   Pass
	Images []Image
}

// Files are the files, in printing order, that leave a run of n sheets reading
// 1..n from the top with the fronts up, or doing so when the finished stack is
// turned over as a whole. backs tells whether the backs carry anything; if not,
// there is only a front file. The facts must have passed Check.
func (f Facts) Files(n int, backs bool) []File {
	switch {
	case f.TwoSided == Automatic && backs:
		return []File{f.bothFile(n)}
	case f.TwoSided == Automatic || !backs:
		return []File{f.frontsFile(n)}
	}
	return f.byHandFiles(n)
}

// byHandFiles works backwards from the finished stack.
func (f Facts) byHandFiles(n int) []File {
	// The back is printed last. Landing face down it leaves the fronts up,
	// which must read 1..n; landing face up, the stack is turned over once it
	// is finished, so it must read n..1.
	backs := f.printingOrder(lists.ReverseIf(numbersTo(n), f.Lands == FaceUp))
	loaded := lists.ReverseIf(backs, f.FeedFrom == FromBottom)
	fronts := f.printingOrder(lists.ReverseIf(loaded, TurnsOver(f.Reload)))
	return []File{
		{FrontPass, f.fileImages(fronts, reorder.Front)},
		{BackPass, f.fileImages(backs, reorder.Back)},
	}
}

// frontsFile is the file of a run whose backs stay blank.
func (f Facts) frontsFile(n int) File {
	finished := lists.ReverseIf(numbersTo(n), f.Lands == FaceDown)
	return File{FrontPass, f.fileImages(f.printingOrder(finished), reorder.Front)}
}

// bothFile is the file of an automatic printer: front and back of every sheet. Lands tells of the front.
func (f Facts) bothFile(n int) File {
	out := File{Pass: BothPass}
	for _, front := range f.frontsFile(n).Images {
		back := Image{front.Sheet, reorder.Back, f.FlipEdge == ShortEdge}
		out.Images = append(out.Images, front, back)
	}
	return out
}

// printingOrder is the order in which sheets must be printed so that the
// delivery holds the given stack, from the top down.
func (f Facts) printingOrder(stack []int) []int {
	return lists.ReverseIf(stack, f.Stacks == OnTop) // the sheet printed last lies on top
}

// fileImages is the order in a file of sheets that are to be printed in the given
// order.
func (f Facts) fileImages(printed []int, side reorder.Side) []Image {
	order := lists.ReverseIf(printed, f.Sends == LastPageFirst)
	return lists.Map(order, func(sheet int) Image { return Image{sheet, side, side == reorder.Back && f.FlipEdge == ShortEdge} })
}

func numbersTo(n int) []int {
	s := make([]int, n)
	for i := range s {
		s[i] = i + 1
	}
	return s
}

// Shared is a print file that serves many printers. Two for each pass serve
// all of them, if the person may be told how to put the stack back and, where
// the printer turns the paper itself, about which edge to ask for.
type Shared struct {
	File
	// Descending: the file begins with the last sheet of the run.
	Descending bool
}

// SharedFiles are the files that serve every printer for a run of n sheets:
// fronts, backs, and both for automatic printers, each in both orders. No image
// is turned: a half turn more of the stack, or the other edge in the print
// dialog, makes a printer one that turns its sheets about the long edge. If the
// backs carry nothing there are only fronts.
func SharedFiles(n int, backs bool) []Shared {
	passes := []Pass{FrontPass}
	if backs {
		passes = []Pass{FrontPass, BackPass, BothPass}
	}
	var out []Shared
	for _, pass := range passes {
		for _, descending := range []bool{false, true} {
			f := File{Pass: pass}
			for _, s := range lists.ReverseIf(numbersTo(n), descending) {
				if pass != BackPass {
					f.Images = append(f.Images, Image{s, reorder.Front, false})
				}
				if pass != FrontPass {
					f.Images = append(f.Images, Image{s, reorder.Back, false})
				}
			}
			out = append(out, Shared{f, descending})
		}
	}
	return out
}

// OtherEdge is the other of the two edges.
func OtherEdge(v FlipEdge) FlipEdge { return LongEdge + ShortEdge - v }
