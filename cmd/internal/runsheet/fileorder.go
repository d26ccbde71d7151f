package runsheet

import (
	"fmt"

	"foldwright/printer"
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
	var out []FileOrder
	for _, file := range f.Files(2, backs) {
		out = append(out, FileOrder{file.Pass, file.Images[0].Sheet == 2, f.Sends == printer.LastPageFirst})
	}
	return out
}

// Of is the pages of the sheet at a place in a run of n sheets.
func (o FileOrder) Of(place, n int) (first, last int) {
	at := place
	if o.Descending {
		at = n + 1 - place
	}
	return (at-1)*o.perSheet() + 1, at * o.perSheet()
}

// After is the pages that are still to be printed when that sheet has come
// out; after the last one first is greater than last.
func (o FileOrder) After(place, n int) (first, last int) {
	low, high := o.Of(place, n)
	if o.LastFirst {
		return 1, low - 1
	}
	return high + 1, n * o.perSheet()
}

func (o FileOrder) perSheet() int {
	if o.Pass == printer.BothPass {
		return 2
	}
	return 1
}

// pageRange is pages as print dialogs take them.
func pageRange(first, last int) string {
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d-%d", first, last)
}

// ofRule and afterRule say how Of and After are worked out, for a sheet at place
// k of n.
func (o FileOrder) ofRule() string {
	switch {
	case o.perSheet() == 1 && !o.Descending:
		return "page k"
	case o.perSheet() == 1:
		return "page n + 1 - k"
	case !o.Descending:
		return "page 2 x k and the page before it"
	}
	return "page 2 x (n + 1 - k) and the page before it"
}

func (o FileOrder) afterRule() string {
	twice := ""
	if o.perSheet() == 2 {
		twice = "2 x "
	}
	switch {
	case !o.Descending && !o.LastFirst:
		return "the pages after " + twice + "k"
	case !o.Descending && twice != "":
		return "pages 1 to 2 x (k - 1)"
	case !o.Descending:
		return "pages 1 to k - 1"
	case !o.LastFirst && twice != "":
		return "the pages after 2 x (n + 1 - k)"
	case !o.LastFirst:
		return "the pages after n + 1 - k"
	case twice != "":
		return "pages 1 to 2 x (n - k)"
	}
	return "pages 1 to n - k"
}

// fileOf names the file of a pass: of the only run, or of any.
func fileOf(pass printer.Pass, files []File) Sentence {
	for _, f := range files {
		if f.Pass == pass {
			return say("{}", literal(f.Name))
		}
	}
	return say("{} of its run", map[printer.Pass]string{
		printer.FrontPass: "the front file", printer.BackPass: "the back file", printer.BothPass: "the file",
	}[pass])
}
