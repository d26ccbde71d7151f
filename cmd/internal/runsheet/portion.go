package runsheet

import (
	"fmt"

	"foldwright/printer"
	"foldwright/reorder"
)

// portion is a part of a run that is fed at once: sheets in the order in which
// they come out, counted from 0, To not among them.
type portion struct{ from, to int }

func (p portion) sheets() int { return p.to - p.from }

// portions shares so many sheets out among as few loads of the tray as will do.
// What the tray holds is one portion.
func (j Job) portions(sheets int) []portion {
	tray := j.Profile.TraySheets
	if tray == 0 || sheets <= tray {
		return []portion{{0, sheets}}
	}
	n := (sheets + tray - 1) / tray
	var out []portion
	for i := range n { // as equal as can be
		out = append(out, portion{i * sheets / n, (i + 1) * sheets / n})
	}
	return out
}

// of is what the print dialog is asked for to print a portion of the pages of a file,
// which may be sent from its end. whole is those of so many sheets.
func (p portion) of(whole Pages, sheets int, sends printer.Sends) Pages {
	from, to, each := p.from, p.to, (whole.To-whole.From+1)/sheets
	if sends == printer.LastPageFirst {
		from, to = sheets-p.to, sheets-p.from
	}
	return Pages{whole.From + each*from, whole.From - 1 + each*to}
}

// feed is a file of a run that the tray does not hold. It is printed load by load
// with page ranges. The sheets of a pass are joined beside the printer as they would have
// come to lie in the delivery, so what is done with the stack between the passes stays the same.
type feed struct {
	Job
	file     File
	portions []portion
	other    string // what the other side of the first sheet to come out shows
	whole    Step   // prints the file where it is one portion
	onto     bool   // sheets that came out before lie beside the printer
}

// steps are from the first load to the stack beside the printer. Fronts, and files
// with both sides, take fresh sheets, backs what waits beside the tray.
func (f feed) steps() []Step {
	var steps []Step
	sheets := f.portions[len(f.portions)-1].to
	for i, p := range f.portions {
		first, last := i == 0, i == len(f.portions)-1
		if f.file.Pass == printer.BackPass {
			steps = append(steps, TakePortion{p.sheets(), f.Profile.FeedFrom, last})
		} else {
			steps = append(steps, EmptyTray{}, f.loadFresh(p.sheets()))
		}
		steps = append(steps, f.printStep(i, sheets), CountOut{p.sheets(), false}, letRestStep(f.Profile.Process),
			JoinPortion{f.Profile.Stacks, first && !f.onto, last})
	}
	return steps
}

func (f feed) printStep(i, sheets int) Step {
	if len(f.portions) == 1 {
		return f.whole
	}
	whole := f.file.Pages
	if whole == (Pages{}) {
		whole = Pages{1, sheets * FileOrder{Pass: f.file.Pass}.perSheet()}
	}
	p := PrintFile{
		File: f.file.Name, Pass: f.file.Pass, Pages: f.portions[i].of(whole, sheets, f.Profile.Sends), Portion: fmt.Sprintf("%d of %d", i+1, len(f.portions)),
	}
	if i == 0 {
		p.FirstOut, p.Other = f.file.FirstOut, f.other
	}
	return p
}

func portionsNote(sheets, tray, portions int) Text {
	return text("{} are to be printed, and the {} takes {}: print each file in {} portions.", reorder.Count(sheets, "sheet"), wTray, tray, portions).markImportant().
		why("Print of the file only the pages that each step names, and don't add sheets while it prints.")
}

// JoinPortion lays the sheets of a portion to those before it.
type JoinPortion struct {
	Stacks      printer.Stacks
	First, Last bool
}

// joiningWord says where sheets come to rest that come out after others.
func joiningWord(s printer.Stacks) string {
	return map[printer.Stacks]string{printer.OnTop: "onto", printer.Beneath: "beneath"}[s]
}

func (j JoinPortion) Text() Text {
	t := text("Take the sheets out of the {} and lay them {} those beside the printer, just as they lie, without turning anything.", wDelivery, joiningWord(j.Stacks))
	if j.First {
		t.Lead = say("Take the sheets out of the {} and lay them beside the printer just as they lie, without turning them: the edge nearest you stays nearest you.", wDelivery)
	}
	if j.Last {
		t.More = append(t.More, say("It is one stack now, as it would lie in the {}. Where a step speaks of the stack there, it is this one.", wDelivery))
	}
	return t
}

// TakePortion loads a part of the stack that waits beside the tray.
type TakePortion struct {
	Sheets int
	From   printer.FeedFrom
	Last   bool
}

func (p TakePortion) Text() Text {
	if p.Last {
		return text("Lay the rest of the stack, {}, into the {}, as it lies, without a turn.", reorder.Count(p.Sheets, "sheet"), wTray)
	}
	what, as := fmt.Sprintf("%s %s", p.From, reorder.Count(p.Sheets, "sheet")), "as they lie"
	if p.Sheets == 1 {
		what, as = fmt.Sprintf("%s sheet", p.From), "as it lies"
	}
	return text("Lay the {} of the stack into the {} {}, without a turn.", what, wTray, as).
		why("Count them. The {} must be empty before. Keep what comes out apart from the stack that waits.", wTray)
}
