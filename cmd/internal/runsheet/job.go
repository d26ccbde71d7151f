package runsheet

import (
	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// Job is what the run sheet tells about.
type Job struct {
	Made       bool         // it is a blank book, of which there is no PDF
	Between    string       // which of its gatherings are blank, and what is printed on them; empty: none are
	Title      string       // the source's file name
	Files      []SourceFile // its files, if there are several
	Program    Program      // of those who read it
	Version    string       // of the program
	Pages      int          // source pages that are printed
	Blanks     int          // blank pages added
	Copies     int          // of the book; 0 and 1: one
	BookSheets int          // sheets of one copy of the whole book, by which sheet numbers go up from copy to copy
	Scale      float64
	Paper      reorder.Paper
	Own        profiles.Paper // of the person's own that it is; zero: it is known by its size alone
	Units      binding.Units  // that lengths are told in first
	Leaf       geom.Size      // a leaf of the folded book before trimming, head up, mm
	Trim       reorder.Trim   // what is cut off the leaf
	Creep      string         // how far inner leaves stand out, and what was done about it; empty: nothing to say
	Form       reorder.Form
	Handwork   []reorder.Motion // what the hands do with the finished stack
	Gatherings []Gathering
	Volumes    []reorder.Volume // empty: one
	CheckSheet CheckSheet
	Runs       []Run
	Trial      *Trial // nil: no gathering is tried before the others
	Profile    profiles.Profile
	Guessed    bool // nobody named the printer: the usual case is assumed
	Marks      Marks
	Bench      []binding.Sheet // of each volume; empty: nothing is sewn, or only a part is printed
	SideNames  bool            // side names are printed along the folds
	ShortNames bool            // they do not say which place a sheet has in its run
	Margins    string          // of the text on its leaves; empty: they are those of the PDF
	Inserts    []Insert        // leaves of other paper
	Plates     *Plates         // the sheets are leaves for another book; nil: they are a book
	Numbers    string          // where the pages have running numbers; empty: they have none
	Warnings   []string

	eachRun bool     // every run is told in steps, none in a table
	smaller Sentence // what helps sheets printed again, where they are too many for the tray; nil: smaller runs
}

// SourceFile is one of several PDFs that the book is made of, and how its pages are counted in the book.
type SourceFile struct {
	Name        string
	First, Last int
}

// Trial is the first gathering, printed and folded before the others.
type Trial struct {
	Run      Run              // its sheets alone, printed from the files of the job's first run
	Handwork []reorder.Motion // of it alone
	Rest     []Run            // what is printed once it has turned out well
	Then     []reorder.Motion // the handwork of the other gatherings
}

// Program is how those who read a run sheet call the program. The zero value: they do not have it.
type Program struct {
	Folder string // the name of the job's folder
	Style  phrase.Style
}

// command is a command about the job's folder.
func (p Program) command(name string, settings ...phrase.Setting) literal {
	return literal(phrase.Command{Name: name, Arguments: []string{p.Folder}, Settings: settings}.In(p.Style))
}

func (p Program) setting(s phrase.Setting) literal { return literal(s.In(p.Style)) }

// other is a command that is not about the folder.
func (p Program) other(name string) literal { return literal(phrase.Command{Name: name}.In(p.Style)) }

// sheets is how many are printed in all runs.
func (j Job) sheets() (n int) {
	for _, r := range j.Runs {
		n += r.Sheets
	}
	return n
}

// isCautious tells whether nobody has seen yet that the printer does what its profile says.
func (j Job) isCautious() bool { return j.Guessed || len(j.Profile.Assumed) > 0 }

// Marks is which marks are printed on the sheets.
type Marks struct {
	Fold, Cut, Collation, Stations, Corners bool
	Signing                                 reorder.Signing
}

// Gathering is the sheets that are sewn through one fold.
type Gathering struct {
	Number int
	First  int // number in the book of its outermost sheet
	Sheets int // counted with it, where gatherings share sheets
	Pieces int // that are folded for it
}

// Run is the sheets printed together.
type Run struct {
	Number int
	Sheets int
	Files  []File
	Top    Both // of the finished stack
}

// File is one print file, in printing order within its run.
type File struct {
	Name  string
	Pass  printer.Pass
	Pages Pages // of the file that are printed; zero: all
	// FirstOut and LastOut are what is to be read on the sheets that come out
	// first and last: their side names, or the pages that are printed there.
	FirstOut, LastOut string
}

// Both is the two sides of a sheet, in the plan's views.
type Both struct {
	Front, Back drawing.Print
	Piece       geom.Rect // where on the front its first piece is; all of it if it is not cut
}

// Step is one thing to do. What it says follows from its facts, so that
// whoever acts on the facts does what the text says.
type Step interface{ Text() Text }

// Note is something to know.
type Note interface{ Text() Text }

// Stage is steps that belong together and are ticked off together, and what to know
// before them.
type Stage struct {
	Anchor  string // unique within the sheet; empty: nothing leads here
	Heading string
	Notes   []Note
	Steps   []Step
	Drawers []Stage // behind taps
	Open    bool    // of a drawer: as long as nobody shuts it
	Paper   bool    // of a drawer: where it is printed
}

// Part is a chapter of the run sheet.
type Part struct {
	Anchor  string // unique within the sheet
	Heading string
	Stages  []Stage
	Shut    bool // behind a tap: it is needed only by those who are sent there
	Paper   bool // open where it is printed
}

// Parts is the whole run sheet.
func Parts(j Job) []Part {
	var parts []Part
	if j.isCautious() {
		parts = cautiousParts(j)
	} else {
		parts = append(warningsPart(j), settledParts(j, j.Runs)...)
		parts = append(parts, makingPart(j))
		if len(j.CheckSheet.Files) > 0 {
			check := checkSheetPart(j)
			check.Shut = true
			parts = append(parts, check)
		}
	}
	parts = append(parts, troubleParts(j)...)
	if len(j.Bench) > 0 {
		bench := benchPart(j.Bench, j.Program)
		if j.Copies > 1 {
			bench.Stages[0].Notes = append([]Note{oneCopyNote}, bench.Stages[0].Notes...)
		}
		parts = append(parts, bench)
	}
	return parts
}

// Steps is what the person does if nothing goes wrong, in order.
func Steps(parts []Part) []Step {
	var steps []Step
	for _, p := range parts {
		if p.Shut {
			continue
		}
		for _, s := range p.Stages {
			steps = append(steps, s.Steps...)
		}
	}
	return steps
}
