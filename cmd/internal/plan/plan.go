package plan

import (
	"bytes"
	"encoding/json"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

const (
	// PlanFile is the name of the plan in a job's folder.
	File = "plan.json"
	// PlanFormat is the version of its format; a reader refuses others.
	Format = 1
	// mostRecord is several times the bytes of the plan of a book of a million pages,
	// and of any other record of ours.
	MostRecord = 64 << 20
	// planKind marks a plan as one of this program's.
	PlanKind = "foldwright plan"
)

// Plan is what plan.json holds: the whole plan of a job, from which
// everything else can be derived. It holds no times and no absolute paths.
type Plan struct {
	// What a shelf asks of the plans of all its titles comes first, see [Made].
	Kind           string           `json:"kind"`
	Format         int              `json:"format"`
	ProgramVersion string           `json:"program_version"`
	Source         Source           `json:"source"`
	Request        string           `json:"request_sha256"` // see [options.Request]
	Paper          Paper            `json:"paper"`
	Sheets         int              `json:"sheets"`                // printed sheets in the book
	BookSheets     int              `json:"book_sheets,omitempty"` // of the whole book, only if one gathering is printed
	Profile        profiles.Profile `json:"profile"`
	Warnings       []string         `json:"warnings"`
	Files          []Entry          `json:"files"`

	Options    options.Options  `json:"options"` // all, resolved
	Fold       reorder.Fold     `json:"fold"`
	Cut        int              `json:"cut"` // pieces per sheet
	Nest       reorder.Nest     `json:"nest"`
	Bind       reorder.Bind     `json:"bind"`
	Leaf       reorder.Leaf     `json:"leaf"`
	Scale      float64          `json:"scale"`              // of the book, 1 is 100 percent
	CreepMM    float64          `json:"creep_mm,omitempty"` // of each thickness of paper: by so much pages of inner leaves are moved
	Gatherings []Gathering      `json:"gatherings"`
	Volumes    []reorder.Volume `json:"volumes,omitempty"` // only if there are several
	Runs       []Run            `json:"runs"`
	// Structure is the rules by which the book is bound, Stations where its
	// holes are in mm from the trimmed head; both are left out where nothing is sewn.
	Structure binding.Structure `json:"structure,omitzero"`
	Stations  []float64         `json:"stations_mm,omitempty"`
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

// Source is the PDF that the job was made from.
type Source struct {
	File   string `json:"file"` // its name without folders
	SHA256 string `json:"sha256"`
	Pages  int    `json:"pages"`
	// Path is the way to it from the folder of the plan, see [FindSource]; only
	// a job has it, for kits go to other people.
	Path string `json:"path,omitempty"`
}

// Paper is the paper of all sheets, in feed orientation.
type Paper struct {
	Name     string  `json:"name"` // PWG 5101.1
	WidthMM  float64 `json:"width_mm"`
	HeightMM float64 `json:"height_mm"`
}

// Gathering is one gathering that is printed.
type Gathering struct {
	Number     int   `json:"number"`
	FirstSheet int   `json:"first_sheet"` // its outermost sheet's number in the book
	Sheets     int   `json:"sheets"`      // printed sheets; cut by the run, its share of the run's
	Pages      []int `json:"pages"`       // the source page at each place in reading order, 0 for a blank
	// Halves is, where spreads are split, for each of Pages which half of it
	// stands there; empty: all of it. It is left out of plans without a split.
	Halves []survey.Half `json:"halves,omitempty"`
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
		Kind:           PlanKind,
		Format:         Format,
		ProgramVersion: d.Version,
		Source:         d.PlanSource(),
		Request:        d.Request.Of(d.Path()),
		Options:        d.Options,
		Paper:          Paper{d.Paper.Name, d.Paper.Size.W, d.Paper.Size.H},
		Fold:           d.Book.Form.Fold,
		Cut:            d.Book.Form.Cut,
		Nest:           d.Book.Form.Nest,
		Bind:           d.Book.Form.Bind,
		Leaf:           d.Options.Leaf,
		Scale:          d.Placement.Scale,
		Structure:      d.Structure,
		Stations:       d.stations(),
		Sheets:         len(d.Printed),
		CreepMM:        d.Options.CreepIn(d.Book).At(1),
		Profile:        d.Profile,
		Warnings:       phrase.Strings(d.Warnings(), nil),
		Files:          []Entry{},
	}
	if d.Options.OnlyGathering > 0 {
		p.BookSheets = len(d.Placement.Sheets)
	}
	for _, g := range d.Gatherings() {
		p.Gatherings = append(p.Gatherings, d.planGathering(g))
	}
	if len(d.Volumes) > 1 {
		p.Volumes = d.Volumes
	}
	p.Runs = d.Runs
	return p
}

func (d *Draft) PlanSource() Source {
	return Source{File: d.Name, SHA256: d.SHA256(), Pages: len(d.Pages())}
}

func (d *Draft) planGathering(g reorder.Gathering) Gathering {
	out := Gathering{Number: g.Number, FirstSheet: g.Sheets[0].Number, Sheets: len(g.Sheets), Pages: make([]int, len(g.Pages))}
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

// Encode writes the plan as text that people can read too: a list of numbers
// on one line. A shelf reads the plans of all its titles to see that nothing is to be done.
func (p Plan) Encode() ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(p)
	return NumbersInLine(out.Bytes()), err
}

// NumbersInLine takes the ends of lines out of lists of numbers. Within strings of
// JSON there are none.
func NumbersInLine(text []byte) []byte {
	out := make([]byte, 0, len(text))
	for i := 0; i < len(text); i++ {
		out = append(out, text[i])
		if text[i] != '[' || i+1 == len(text) || text[i+1] != '\n' {
			continue
		}
		end := bytes.IndexFunc(text[i+1:], func(r rune) bool { return !strings.ContainsRune(" \n0123456789-+.eE,", r) })
		if end < 0 || text[i+1+end] != ']' {
			continue
		}
		for j, number := range strings.Fields(string(text[i+1 : i+1+end])) {
			if j > 0 {
				out = append(out, ' ')
			}
			out = append(out, number...)
		}
		i += end
	}
	return out
}
