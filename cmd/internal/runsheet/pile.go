package runsheet

import "foldwright/printer"

// Face tells which way a face looks while the stack lies.
type Face int

const (
	LooksUp Face = iota + 1
	LooksDown
)

func (f Face) String() string {
	if f == LooksUp {
		return "up"
	}
	return "down"
}

// other is the way the face looks once the stack is turned over.
func (f Face) other() Face { return LooksUp + LooksDown - f }

// Pile is a stack as far as it can be told from its ends.
type Pile struct {
	Sheets int
	// Top and Bottom are the names that the fronts of the top and the bottom
	// sheet bear; empty without side names.
	Top, Bottom string
	Fronts      Face // the way the fronts look
	Backs       bool // are printed too
}

// out is a pile as it comes out of the printer, its sheets named in the order
// in which they come.
func out(f printer.Facts, sheets int, first, last string, fronts Face) Pile {
	if f.Stacks == printer.OnTop {
		first, last = last, first
	}
	return Pile{Sheets: sheets, Top: first, Bottom: last, Fronts: fronts}
}

// printedOnce is the pile that lies in the delivery after its fronts were
// printed: lands is then about the fronts, as it is for automatic printers.
func printedOnce(f printer.Facts, sheets int, file File) Pile {
	fronts := LooksDown
	if f.Lands == printer.FaceUp {
		fronts = LooksUp
	}
	p := out(f, sheets, file.FirstOut, file.LastOut, fronts)
	p.Backs = file.Pass == printer.BothPass
	return p
}

// reloaded is the pile as it lies in the tray again.
func (p Pile) reloaded(r printer.Reload) Pile {
	if r.Turns() {
		return p.turnedOver()
	}
	return p
}

// fedFirst is the name on the sheet of a loaded pile that is printed first.
func (p Pile) fedFirst(f printer.Facts) string {
	if f.FeedFrom == printer.FromBottom {
		return p.Bottom
	}
	return p.Top
}

// printedTwice is what lies in the delivery once the loaded pile has got its
// backs: lands is then about the backs.
func (p Pile) printedTwice(f printer.Facts) Pile {
	first, last := p.Top, p.Bottom
	if f.FeedFrom == printer.FromBottom {
		first, last = last, first
	}
	fronts := LooksUp
	if f.Lands == printer.FaceUp {
		fronts = LooksDown
	}
	p = out(f, p.Sheets, first, last, fronts)
	p.Backs = true
	return p
}

func (p Pile) turnedOver() Pile { return Pile{p.Sheets, p.Bottom, p.Top, p.Fronts.other(), p.Backs} }
