package printer

import (
	"slices"

	"foldwright/reorder"
)

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
			sheets := ascending(n)
			if descending {
				slices.Reverse(sheets)
			}
			f := File{Pass: pass}
			for _, s := range sheets {
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

// HalfRound is the reload and a half turn, flat on the table, besides.
func (v Reload) HalfRound() Reload {
	return map[Reload]Reload{AsDelivered: RotateHalf, RotateHalf: AsDelivered, TurnLong: TurnShort, TurnShort: TurnLong}[v]
}

// Other is the other of the two edges.
func (v FlipEdge) Other() FlipEdge { return LongEdge + ShortEdge - v }
