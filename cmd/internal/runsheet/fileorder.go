package runsheet

import (
	"fmt"

	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/lists"
)

// FileOrder is how the sheets of a run follow each other in a print file. From
// it follow the pages that a person writes into the print dialog where only a
// part of the file is to be printed. Sheets are told by their places in the run,
// from 1.
type FileOrder struct {
	Pass       printer.Pass
	Descending bool // its first page is of the last sheet
	LastFirst  bool // the computer sends the last page first
}

// OrdersOf is the orders of a job's files on a printer.
func OrdersOf(f printer.Facts, backs bool) []FileOrder {
	return lists.Map(f.Files(2, backs), func(file printer.File) FileOrder {
		return FileOrder{file.Pass, file.Images[0].Sheet == 2, f.Sends == printer.LastPageFirst}
	})
}

// Of is the pages of the sheet at a place in a run of n sheets.
func (o FileOrder) Of(place, n int) Pages {
	at := place
	if o.Descending {
		at = n + 1 - place
	}
	return Pages{(at-1)*o.perSheet() + 1, at * o.perSheet()}
}

// After is the pages that are still to be printed when that sheet has come
// out; after the last one From is greater than To.
func (o FileOrder) After(place, n int) Pages {
	of := o.Of(place, n)
	if o.LastFirst {
		return Pages{1, of.From - 1}
	}
	return Pages{of.To + 1, n * o.perSheet()}
}

func (o FileOrder) perSheet() int {
	if o.Pass == printer.BothPass {
		return 2
	}
	return 1
}

// Pages is pages of a print file, from one to another.
type Pages struct{ From, To int }

// String is the pages as print dialogs take them.
func (p Pages) String() string {
	if p.From == p.To {
		return fmt.Sprint(p.From)
	}
	return fmt.Sprintf("%d-%d", p.From, p.To)
}

func (p Pages) say() Sentence {
	if p.From == p.To {
		return say("page {}", literal(p.String()))
	}
	return say("pages {}", literal(p.String()))
}

// forOthers says how the pages change from sheet to sheet.
func (o FileOrder) forOthers() string {
	way := "more"
	if o.Descending {
		way = "less"
	}
	return fmt.Sprintf("%s %s for each sheet further on", reorder.Count(o.perSheet(), "page"), way)
}

// fileOf names the file of a pass of a run.
var fileOf = map[printer.Pass]string{printer.FrontPass: "the front file", printer.BackPass: "the back file", printer.BothPass: "the file"}
