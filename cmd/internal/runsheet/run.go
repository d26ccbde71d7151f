package runsheet

import (
	"fmt"

	"foldwright/printer"
	"foldwright/reorder"
)

func runPart(j Job, r Run) Part {
	part := Part{
		Anchor:  fmt.Sprintf("run-%d", r.Number),
		Heading: fmt.Sprintf("Run %d: %s", r.Number, reorder.Count(r.Sheets, "sheet")),
	}
	if len(j.Runs) == 1 {
		part.Heading = "Print " + reorder.Count(r.Sheets, "sheet")
	}
	if portions := j.portions(r); len(portions) > 1 && len(r.Files) > 0 {
		part.Stages = portionStages(j, r, portions)
		return part
	}
	load := Stage{Heading: "Load the paper", Steps: []Step{
		EmptyTray{}, Fan{}, LoadFresh{r.Sheets, j.Paper, j.Profile.FeedFace, j.Profile.TraySheets},
	}}
	if r.Split {
		load.Notes = append(load.Notes, SplitRun{})
	}
	part.Stages = append(part.Stages, load)
	part.Stages = append(part.Stages, passes(j, r)...)
	return part
}

// passes is what is done from the loaded tray to the finished stack.
func passes(j Job, r Run) []Stage {
	if len(r.Files) == 0 {
		return nil
	}
	first := r.Files[0]
	once := printedOnce(j.Profile.Facts, r.Sheets, first)
	print := Stage{Heading: printHeading(first.Pass), Steps: []Step{
		sends(first, ""),
		CountOut{r.Sheets, len(r.Files) > 1},
	}}
	if len(r.Files) == 1 {
		if first.Pass == printer.BothPass {
			print.Steps = append(print.Steps, Rest{j.Profile.Process})
		}
		return []Stage{print, finish(j, r, once)}
	}
	back := r.Files[1]
	loaded := once.reloaded(j.Profile.Reload)
	return []Stage{
		print,
		{Heading: "Put the stack back", Steps: []Step{
			LookAt{InDelivery, once, r.Gaps},
			Rest{j.Profile.Process},
			PutBack{Reload: j.Profile.Reload, Pile: once},
			LookAt{InTray, loaded, r.Gaps},
		}},
		{Heading: printHeading(back.Pass), Steps: []Step{
			sends(back, loaded.fedFirst(j.Profile.Facts)),
			CountOut{r.Sheets, false},
			Rest{j.Profile.Process},
		}},
		finish(j, r, loaded.printedTwice(j.Profile.Facts)),
	}
}

// sends is the step that prints a file.
func sends(f File, other string) PrintFile {
	return PrintFile{f.Name, f.Pass, f.FirstOut, other, f.First, f.Last}
}

func printHeading(p printer.Pass) string {
	switch p {
	case printer.BackPass:
		return "Print the backs"
	case printer.BothPass:
		return "Print both faces"
	}
	return "Print the fronts"
}

// finish makes the delivered pile the finished stack.
func finish(j Job, r Run, delivered Pile) Stage {
	take := TakeOut{delivered.Fronts == LooksDown, delivered}
	if take.TurnOver {
		delivered = delivered.turnedOver()
	}
	s := Stage{Heading: "Check the finished stack", Steps: []Step{take, LookAt{OnTable, delivered, r.Gaps}}}
	if r.Files[len(r.Files)-1].Pass != printer.FrontPass {
		s.Steps = append(s.Steps, LookThrough{r.Sheets, r.Top, j.SideNames, headsAt(j.Form)})
	}
	if len(j.Runs) > 1 {
		s.Steps = append(s.Steps, LayAside{r.Number, r.Split, delivered})
	}
	return s
}

// headsAt is the kind of edge at which all pages of a sheet have their heads,
// zero if they lie differently, as they do on sheets folded more than once,
// or at another one.
func headsAt(f reorder.Form) printer.FlipEdge {
	if f.Fold != reorder.Folio || f.Cut != 1 || f.Bind == reorder.BindTop {
		return 0
	}
	return printer.LongEdge
}
