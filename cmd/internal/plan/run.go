package plan

import (
	"slices"

	"foldwright/printer"
	"foldwright/reorder/lists"
)

// Run is the sheets that are printed together.
type Run struct {
	Number int    `json:"number"`
	Sheets int    `json:"sheets"`
	Passes []Pass `json:"passes"` // in printing order

	// A plan that was read from a folder doesn't tell these two.
	First int  `json:"-"` // place of the first sheet among those to be printed, from 1
	Split bool `json:"-"` // it ends within a gathering
}

// Pass is one trip through the printer: its file, and the sides on its pages.
type Pass struct {
	Pass   printer.Pass    `json:"pass"`
	Name   string          `json:"file"`
	Images []printer.Image `json:"-"`
}

// PassOf is the pass that a file of the given name makes.
func PassOf(name string, f printer.File) Pass { return Pass{f.Pass, name, f.Images} }

// File is the pass as package printer tells of it.
func (p Pass) File() printer.File { return printer.File{Pass: p.Pass, Images: p.Images} }

// Last is the place of the last sheet among those to be printed.
func (r Run) Last() int { return r.First + r.Sheets - 1 }

// Files is the names of the files, in printing order.
func (r Run) Files() []string {
	return lists.Map(r.Passes, func(p Pass) string { return p.Name })
}

// PrintsBacks tells whether anything stands on the backs of the sheets.
func (r Run) PrintsBacks() bool {
	return slices.ContainsFunc(r.Passes, func(p Pass) bool { return p.Pass != printer.FrontPass })
}

// prints tells whether another run prints as many sheets into the same files.
func (r Run) prints(o Run) bool {
	return r.Number == o.Number && r.Sheets == o.Sheets && slices.EqualFunc(r.Passes, o.Passes, func(a, b Pass) bool { return a.Pass == b.Pass && a.Name == b.Name })
}
