package plan

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

const (
	// File is the name of the plan in a job's folder.
	File = "plan.json"
	// Kind marks a plan as one of this program's.
	Kind = "foldwright plan"
	// Format is the version of its format; a reader refuses others.
	Format = 1
)

// Record is how a file of ours that tells of a folder begins.
type Record struct {
	Kind           string  `json:"kind"`
	Format         int     `json:"format"`
	ProgramVersion string  `json:"program-version"`
	Source         Source  `json:"source"`
	Files          []Entry `json:"files"`
}

// Made is what a plan says of how its folder was made, and of what it takes.
type Made struct {
	Record
	Request    string   `json:"request-sha256"` // see [options.Request]
	Paper      Paper    `json:"paper"`
	Sheets     int      `json:"sheets"`                   // printed sheets in the book, in all its copies
	Copies     int      `json:"copies,omitempty"`         // only if there are several
	BookSheets int      `json:"sheets-in-book,omitempty"` // of the whole book, only if one gathering is printed
	BookPieces int      `json:"pieces-in-book,omitempty"` // the same of its pieces, if gatherings are counted in them
	Warnings   []string `json:"warnings"`
}

// Plan is what plan.json holds: the whole plan of a job, from which
// everything else can be derived. It holds no times and no absolute paths.
type Plan struct {
	Made
	Profile    profiles.Profile `json:"profile"`
	Options    options.Options  `json:"options"`               // all, resolved
	Scale      float64          `json:"scale"`                 // of the book, 1 is 100 percent
	CreepMM    float64          `json:"creep-mm,omitempty"`    // of each thickness of paper: by so much pages of inner leaves are moved
	Covers     []int            `json:"cover-pages,omitempty"` // of the source, taken out for the cover, in reading order
	Gatherings []Gathering      `json:"gatherings"`
	Volumes    []reorder.Volume `json:"volumes,omitempty"` // only if there are several
	Runs       []Run            `json:"runs"`
	Inserts    []Insert         `json:"inserts,omitempty"`
	// Structure is the rules by which the book is bound, Stations where its
	// holes are in mm from the trimmed head; both are left out where nothing is sewn.
	Structure binding.Structure `json:"structure,omitzero"`
	Stations  []float64         `json:"stations-mm,omitempty"`
}

// SheetNumbers is the number in the book of each printed sheet, from the top of the
// finished stack.
func (p Plan) SheetNumbers() []int {
	var out []int
	for _, g := range p.Gatherings {
		for i := range g.Sheets {
			out = append(out, g.FirstSheet+i)
		}
	}
	return out
}

// Source is what the job was made from: a PDF, or several that are read one after the other.
type Source struct {
	File   string `json:"file"`   // its name without folders; of several files, what the book is called by them
	SHA256 string `json:"sha256"` // see [pdf.SumOf]
	Pages  int    `json:"pages"`  // of all files
	// Made is how many pages the program has made, which are counted on after those of the files: half-titles, then the two
	// that blank gatherings show.
	Made int `json:"made-pages,omitzero"`
	// Parts are the files of a book of several, in reading order; no entry has parts of its own.
	Parts []Source `json:"parts,omitempty"`
	// Path is the way to it from the folder of the plan, see [FindSource]; only
	// a job has it, for kits go to other people.
	Path string `json:"path,omitempty"`
}

// AllPages is how many pages the book's source has: those of the files, and those that were made.
func (s Source) AllPages() int { return s.Pages + s.Made }

// Paper is the paper of all sheets, in feed orientation.
type Paper struct {
	reorder.Paper
	// What the person's own paper was known by when the book was planned; its caliper is among the options.
	Own   string         `json:"own,omitempty"`
	Grain profiles.Grain `json:"grain,omitzero"`
	Tray  string         `json:"tray,omitempty"`
}

// Gathering is one gathering that is printed.
type Gathering struct {
	Number     int `json:"number"`
	Copy       int `json:"copy,omitempty"` // which it belongs to, from 1; only if there are several
	FirstSheet int `json:"first-sheet"`    // its outermost sheet's number; from copy to copy numbers are counted on
	Sheets     int `json:"sheets"`         // printed sheets; of sheets that gatherings share, those counted with it
	// Only where gatherings are counted in pieces: how many it has, the number of its outermost one in the
	// book, and of the stack that is cut as one.
	Pieces     int   `json:"pieces,omitempty"`
	FirstPiece int   `json:"first-piece,omitempty"`
	Stack      int   `json:"stack,omitempty"`
	Blank      bool  `json:"blank,omitempty"` // laid between those of the book: no page of it
	Pages      []int `json:"pages"`           // the source page at each place in reading order, 0 for a blank
	// Halves is, where spreads are split, for each of Pages which half of it
	// stands there; empty: all of it. It is left out of plans without a split.
	Halves []survey.Half `json:"halves,omitempty"`
}

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

// Entry is a file of the folder; plan.json itself is not among them.
type Entry struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// Plan describes the draft; its files, and what is learned while they are
// written, are added then.
func (d *Draft) Plan() Plan {
	p := Plan{
		Made: Made{
			Record:   Record{Kind, Format, d.Version, d.PlanSource(), []Entry{}},
			Request:  d.Request.Of(d.Paths()...),
			Paper:    Paper{d.Paper, d.Own.Name, d.Own.Grain, d.Own.Tray},
			Sheets:   d.SheetsPrinted(),
			Warnings: phrase.Strings(d.Warnings(), nil),
		},
		Profile:   d.Profile,
		Options:   d.Options,
		Scale:     d.Placement.Scale,
		CreepMM:   d.Options.CreepIn(d.Book).At(1),
		Covers:    d.Covers,
		Runs:      d.Runs,
		Inserts:   d.Inserts,
		Structure: d.Structure,
		Stations:  d.stations(),
	}
	if d.Options.OnlyGathering > 0 {
		p.BookSheets = len(d.Placement.Sheets)
		if d.Book.Form.ByPieces {
			p.BookPieces = sum(lists.Map(d.Book.Gatherings, d.SizeOf))
		}
	}
	copies := d.Options.HowOften()
	if copies > 1 {
		p.Copies = copies
	}
	for copy := range copies {
		for _, g := range d.Gatherings() {
			made := d.planGathering(g)
			made.FirstSheet += copy * len(d.Placement.Sheets)
			if copies > 1 {
				made.Copy = copy + 1
			}
			p.Gatherings = append(p.Gatherings, made)
		}
	}
	if len(d.Volumes) > 1 {
		p.Volumes = d.Volumes
	}
	return p
}

func (d *Draft) PlanSource() Source {
	given := d.Given()
	out := Source{File: d.Name, SHA256: given.SHA256(), Pages: len(given.Pages()), Made: len(d.Pages()) - len(given.Pages())}
	if len(given.Parts) > 1 {
		for _, p := range given.Parts {
			out.Parts = append(out.Parts, Source{File: filepath.Base(p.Path()), SHA256: p.SHA256(), Pages: len(p.Pages())})
		}
	}
	return out
}

// SourceIn is [Draft.PlanSource] with the ways from a folder to the files.
func (d *Draft) SourceIn(folder string) Source {
	out := d.PlanSource()
	for i, p := range d.Given().Parts {
		if out.Parts == nil {
			out.Path = WayTo(p.Path(), folder)
		} else {
			out.Parts[i].Path = WayTo(p.Path(), folder)
		}
	}
	return out
}

func (d *Draft) planGathering(g reorder.Gathering) Gathering {
	out := Gathering{Number: g.Number, FirstSheet: d.FirstSheet(g), Sheets: len(g.Sheets), Blank: d.IsBetween(g.Number), Pages: make([]int, len(g.Pages))}
	if d.Book.Form.ByPieces {
		out.Pieces = d.SizeOf(g)
		out.Stack, out.FirstPiece = d.stackOf(g.Number)
	}
	if d.Options.Split == options.SplitSpreads {
		out.Halves = make([]survey.Half, len(g.Pages))
	}
	for i, page := range g.Pages {
		if page == 0 {
			continue
		}
		s := d.Shown(page)
		out.Pages[i] = s.Page
		if out.Halves != nil {
			out.Halves[i] = s.Half
		}
	}
	return out
}

// WriteRecord writes a record of ours into a file.
func WriteRecord(path string, record any) error {
	data, err := Encode(record)
	if err != nil {
		return err
	}
	return os.WriteFile(path, data, 0o666)
}

// Encode writes a record as text that people can read too: a list of numbers
// on one line. A shelf reads the plans of all its titles to see that nothing is to be done.
func Encode(record any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(record)
	return numbersInLine(out.Bytes()), err
}

// numbers is a list of numbers with its ends of lines; within strings of JSON there are none.
var numbers = regexp.MustCompile(`\[\n[-+.,eE\d\s]*\]`)

// numbersInLine takes the ends of lines out of lists of numbers.
func numbersInLine(text []byte) []byte {
	return numbers.ReplaceAllFunc(text, func(list []byte) []byte {
		return append(append([]byte("["), bytes.Join(bytes.Fields(list[1:len(list)-1]), []byte(" "))...), ']')
	})
}
