package runsheet

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
)

// portion is a part of a run that is fed at once: sheets in the order in which
// they come out, counted from 0, To not among them.
type portion struct{ from, to int }

func (p portion) sheets() int { return p.to - p.from }

// portions shares the sheets of a run out among as few loads of the tray as
// will do. A run that the tray holds is one portion.
func (j Job) portions(r Run) []portion {
	tray := j.Profile.TraySheets
	if tray == 0 || r.Sheets <= tray {
		return []portion{{0, r.Sheets}}
	}
	n := (r.Sheets + tray - 1) / tray
	var out []portion
	for i := range n { // as equal as can be
		out = append(out, portion{i * r.Sheets / n, (i + 1) * r.Sheets / n})
	}
	return out
}

// pages is what the print dialog is asked for to print a portion of a file with
// so many sheets: the pages are those of the file, which may be sent from its end.
func (p portion) pages(sheets int, pass printer.Pass, sends printer.Sends) string {
	from, to := p.from, p.to
	if sends == printer.LastPageFirst {
		from, to = sheets-p.to, sheets-p.from
	}
	if pass == printer.BothPass {
		from, to = 2*from, 2*to
	}
	if to == from+1 {
		return fmt.Sprint(to)
	}
	return fmt.Sprintf("%d-%d", from+1, to)
}

// portionStages is a run that the tray does not hold, from the first load to
// the finished stack. Each pass is printed load by load with page ranges of its file.
// The sheets of a pass are joined beside the printer as they would have come to lie in the
// delivery, so what is done with the stack between the passes stays the same.
func portionStages(j Job, r Run, portions []portion) []Stage {
	first := r.Files[0]
	once := printedOnce(j.Profile.Facts, r.Sheets, first)
	fresh := Stage{Heading: printHeading(first.Pass), Notes: []Note{InPortions{r.Sheets, j.Profile.TraySheets, len(portions), false}}}
	if r.Split {
		fresh.Notes = append(fresh.Notes, SplitRun{})
	}
	fresh.Steps = feed{Job: j, file: first, portions: portions}.steps()
	if len(r.Files) == 1 {
		return []Stage{fresh, finish(j, r, once)}
	}
	back := r.Files[1]
	loaded := once.reloaded(j.Profile.Reload)
	return []Stage{
		fresh,
		{Heading: "Turn the stack for the backs", Steps: []Step{
			LookAt{Aside, once, r.Gaps},
			PutBack{Reload: j.Profile.Reload, Pile: once, Beside: true},
			LookAt{BesideTray, loaded, r.Gaps},
		}},
		{Heading: printHeading(back.Pass), Steps: feed{Job: j, file: back, portions: portions, other: loaded.fedFirst(j.Profile.Facts)}.steps()},
		finish(j, r, loaded.printedTwice(j.Profile.Facts)),
	}
}

// feed is a file that is printed portion by portion.
type feed struct {
	Job
	file     File
	portions []portion
	other    string // the side name on the other face of the first sheet to come out
	whole    Step   // prints the file where it is one portion
	onto     bool   // sheets that came out before lie beside the printer
}

// steps are from the first load to the stack beside the printer. Fronts, and files
// with both faces, take fresh sheets, backs what waits beside the tray.
func (f feed) steps() []Step {
	var steps []Step
	sheets := f.portions[len(f.portions)-1].to
	for i, p := range f.portions {
		first, last := i == 0, i == len(f.portions)-1
		if f.file.Pass == printer.BackPass {
			steps = append(steps, TakePortion{p.sheets(), f.Profile.FeedFrom, last})
		} else {
			steps = append(steps, EmptyTray{})
			if first {
				steps = append(steps, Fan{})
			}
			steps = append(steps, LoadFresh{p.sheets(), f.Paper, f.Profile.FeedFace, f.Profile.TraySheets})
		}
		steps = append(steps, f.print(i, sheets), CountOut{p.sheets(), false}, Rest{f.Profile.Process},
			JoinPortion{f.Profile.Stacks, first && !f.onto, last, f.file.Pass == printer.BackPass})
	}
	return steps
}

// print is the step that prints a portion of the sheets.
func (f feed) print(i, sheets int) Step {
	if len(f.portions) == 1 {
		return f.whole
	}
	p := PrintPortion{File: f.file.Name, Pass: f.file.Pass, Pages: f.portions[i].pages(sheets, f.file.Pass, f.Profile.Sends), Number: i + 1, Of: len(f.portions)}
	if i == 0 {
		p.FirstOut, p.Other, p.First = f.file.FirstOut, f.other, f.file.First
	}
	return p
}

// InPortions says that the tray does not hold what is printed.
type InPortions struct {
	Sheets, Tray, Portions int
	Again                  bool // only one file of a run, or a part of it
}

func (n InPortions) Text() Text {
	t := Text{
		Important: true,
		Lead:      say("This {} has {}, and the tray takes {}: each file is printed in {} portions.", wRun, reorder.Count(n.Sheets, "sheet"), n.Tray, n.Portions),
		More:      []Sentence{say("Print of the file only the pages that each step names, and do not add sheets while it prints.")},
	}
	if n.Again {
		t.Lead = say("{} are to be printed here, and the tray takes {}: that is done in {} portions.", reorder.Count(n.Sheets, "sheet"), n.Tray, n.Portions)
	}
	return t
}

// PrintPortion sends some pages of a file.
type PrintPortion struct {
	File, Pages     string
	Pass            printer.Pass
	Number, Of      int // which portion
	FirstOut, Other string
	First           drawing.Print
}

func (p PrintPortion) Text() Text {
	t := PrintFile{File: p.File, Pass: p.Pass, FirstOut: p.FirstOut, Other: p.Other}.Text()
	pages := "pages"
	if !strings.Contains(p.Pages, "-") {
		pages = "page"
	}
	t.Lead = say("Portion {} of {}: look at {} and print of {} only {} {}, instead of all pages.", p.Number, p.Of, dialogLink, literal(p.File), pages, literal(p.Pages))
	return t
}

func (p PrintPortion) Drawing() drawing.Drawing {
	return PrintFile{Pass: p.Pass, First: p.First, Last: p.First}.Drawing()
}

// JoinPortion lays the sheets of a portion to those before it.
type JoinPortion struct {
	Stacks      printer.Stacks
	First, Last bool
	Waiting     bool // a stack waits beside the tray
}

var keepApart = say("Keep them apart from the stack that waits to be printed.")

// toThose says where sheets come to rest that come out after others.
func toThose(s printer.Stacks) string {
	if s == printer.Beneath {
		return "beneath"
	}
	return "onto"
}

func (j JoinPortion) Text() Text {
	var t Text
	if j.First {
		t.Lead = say("Take the sheets out of the {} and lay them beside the printer just as they lie, without turning them: the edge nearest you stays nearest you.", wDelivery)
		if j.Waiting {
			t.More = append(t.More, keepApart)
		}
	} else {
		t.Lead = say("Take the sheets out of the {} and lay them {} those beside the printer, just as they lie, without turning anything.", wDelivery, toThose(j.Stacks))
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
	end := "top"
	if p.From == printer.FromBottom {
		end = "bottom"
	}
	if p.Last {
		return Text{Lead: say("Lay the rest of the stack, {}, into the {}, as it lies, without a turn.", reorder.Count(p.Sheets, "sheet"), wTray)}
	}
	what, as := end+" "+reorder.Count(p.Sheets, "sheet"), "as they lie"
	if p.Sheets == 1 {
		what, as = end+" sheet", "as it lies"
	}
	return Text{
		Lead: say("Lay the {} of the stack into the {} {}, without a turn.", what, wTray, as),
		More: []Sentence{say("Count them. The {} must be empty before.", wTray)},
	}
}
