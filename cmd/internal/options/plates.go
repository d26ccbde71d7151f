package options

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// Plates is what a job knows that prints leaves of other paper for a book. The zero value is a book of its own.
type Plates struct {
	Name     string          `json:"name"` // of its folder, and of its print files
	Book     string          `json:"book"` // what they are for
	How      reorder.Attach  `json:"how,omitzero"`
	Ends     int             `json:"end-leaves,omitempty"` // folded sheets at each end; else they are plates
	Sewn     bool            `json:"sewn,omitempty"`       // end-leaves
	OneSided bool            `json:"one-sided,omitempty"`  // nothing is printed on the backs
	Each     int             `json:"pages-each"`           // pages of the PDF on each leaf or folded pair
	Repeat   int             `json:"repeat,omitempty"`     // how often the pages are printed: at both ends, in all volumes
	Leaf     Dimensions      `json:"leaf-mm"`              // to which they are cut
	FoldOut  reorder.FoldOut `json:"fold-out,omitzero"`
	Laid     []Laid          `json:"laid,omitempty"`
}

// Laid is a place in the book where a plate is laid in.
type Laid struct {
	After int `json:"after"` // page of the source; 0: before the first
	reorder.Slot
}

// Text says where the plate lies.
func (l Laid) Text(how reorder.Attach) string {
	page := "before the first page"
	if l.After > 0 {
		page = fmt.Sprintf("after page %d", l.After)
	}
	text := fmt.Sprintf("%s, %s", page, l.Slot)
	if how != reorder.Tipped {
		text += ", " + l.Round()
	}
	return text
}

// IsGiven tells whether a job prints leaves for another book.
func (p Plates) IsGiven() bool { return p.Name != "" }

// IsPaired tells whether each sheet is a folded pair of leaves.
func (p Plates) IsPaired() bool { return p.How == reorder.Wrapped || p.Ends > 0 }

// HasStub tells whether the second leaf of a folded pair has nothing to show, and is cut down to a stub.
func (p Plates) HasStub() bool { return p.How == reorder.Wrapped && p.Each < 3 }

// Arrange puts the pages of the PDF on the leaves: 0 is a side on which nothing is printed.
func (p Plates) Arrange(pages []int) []int {
	sides := 2
	if p.IsPaired() {
		sides = 4
	}
	var out []int
	for each := range slices.Chunk(slices.Repeat(pages, max(1, p.Repeat)), max(1, p.Each)) {
		out = append(append(out, each...), make([]int, sides-len(each))...)
	}
	return out
}

// SharePages says how many of so many pages stand on each leaf, or folded pair, of so many; file names the PDF.
func (p *Plates) SharePages(file string, pages, n int) error {
	sides, what := []int{1, 2}, "plate"
	if p.IsPaired() {
		sides, what = []int{1, 2, 4}, "folded pair"
	}
	for _, each := range sides {
		if pages == each*n || each > 1 && pages == each*n-1 {
			p.Each, p.OneSided = each, each == 1
			return nil
		}
	}
	var words []string
	for _, each := range sides {
		words = append(words, reorder.Count(each*n, "page"))
	}
	return refusal.Plan.New("%s has %s, and %s to be printed", file, reorder.Count(pages, "page"), reorder.Count(n, what)+map[bool]string{true: " is", false: " are"}[n == 1]).
		Advise("give it %s", refusal.List(words, "or"))
}

// ShareEnds is SharePages for end-leaves of some volumes: the pages of one end, or of both.
func (p *Plates) ShareEnds(file string, pages, volumes int) error {
	ends := 2 * volumes
	switch p.Each = 4; pages {
	case 4 * p.Ends:
		p.Repeat = ends
	case 8 * p.Ends:
		p.Repeat = volumes
	default:
		return refusal.Plan.New("%s has %s, and each folded sheet of end-leaves has 4", file, reorder.Count(pages, "page")).
			Advise("give it %d pages, for both ends alike, or %d, first those before the book", 4*p.Ends, 8*p.Ends)
	}
	return nil
}

// PlatesJob is a job that prints leaves of other paper for this one, on the paper and printer of an insert.
func (r Resolved) PlatesJob(p Plates, paper, printer string, caliper Length) (Resolved, error) {
	o := Options{
		Paper: paper, Printer: r.printerText(printer), Caliper: caliper, Copies: r.Options.Copies, Bind: r.Options.Bind, Units: r.Options.Units,
		Fold: reorder.Loose, Place: reorder.InMiddle, NoSideNames: true, Marks: Marks{Given: true, Fold: true, Corners: true},
		Dummy: r.Options.Dummy, Box: r.asked.Box, Plates: p,
	}
	if printer == r.Options.Printer {
		o.KeepClear = r.asked.KeepClear
	}
	if p.IsPaired() {
		o.Fold, o.Sheets, o.Fewest = reorder.Folio, 1, 1
	}
	sheet, err := reorder.ParsePaper(paper)
	if err != nil {
		return Resolved{}, err
	}
	leaf := geom.Size{W: float64(p.Leaf.W), H: float64(p.Leaf.H)}
	form := o.Form()
	form.Cut, form.Nest = 1, reorder.Inset
	o.Leaf, o.TrimTo = shapeFor(form, sheet.Size, leaf)
	if o.Leaf == 0 {
		return Resolved{}, tooSmall(p, form, sheet, leaf)
	}
	o.Plates.Leaf = o.TrimTo
	job, err := o.Resolve(r.setting)
	if err == nil && job.Options.Run.Book && o.Copies > 1 {
		o.Run = Run{Most: handful} // all copies at once
		return o.Resolve(r.setting)
	}
	return job, err
}

// printerText is how a printer is found again: those that were read from a file have no name in the store.
func (r Resolved) printerText(name string) string {
	if name == r.Options.Printer {
		return r.asked.Printer
	}
	for _, asked := range r.asked.printers() {
		if p, err := r.setting.Profiles.Find(asked); err == nil && p.Name == name {
			return asked
		}
	}
	return name
}

func (o Options) printers() []string {
	out := []string{o.EndLeaves.Printer}
	for _, i := range o.Inserts {
		out = append(out, i.Printer)
	}
	return out
}

// handful is how many sheets are printed together where nobody knows what the tray holds (common practice, no source).
const handful = 50

// cutShort is by how much, in mm, paper of a named size may be smaller than a leaf that is half of another.
const cutShort = 1

// shapeFor is the shape of leaf in which paper gives leaves of a size as they are read, and to what these are cut; 0: in none.
func shapeFor(form reorder.Form, sheet, leaf geom.Size) (reorder.Leaf, Dimensions) {
	first := reorder.LeafOf(leaf)
	for _, shape := range []reorder.Leaf{first, reorder.Portrait + reorder.Landscape - first} {
		form.Leaf = shape
		panel, err := form.PanelSize(sheet)
		if err == nil && panel.W >= leaf.W-cutShort && panel.H >= leaf.H-cutShort {
			return shape, Dimensions{Length(math.Min(panel.W, leaf.W)), Length(math.Min(panel.H, leaf.H))}
		}
	}
	return 0, Dimensions{}
}

// tooSmall names the smallest usual paper that is large enough.
func tooSmall(p Plates, form reorder.Form, sheet reorder.Paper, leaf geom.Size) error {
	what := "leaf"
	if p.IsPaired() {
		what = "folded pair of leaves"
	}
	err := refusal.Plan.New("%s is too small for a %s of %s", sheet.Word(), what, leaf)
	best, least := "", 0.0
	family := func(p reorder.Paper) string { return strings.SplitN(p.Name, "_", 2)[0] }
	for _, name := range reorder.ShortPaperNames() {
		paper, _ := reorder.ParsePaper(name)
		area := paper.Size.W * paper.Size.H
		if family(paper) != family(sheet) {
			area += 1e9 // another part of the world sells it
		}
		if shape, _ := shapeFor(form, paper.Size, leaf); shape != 0 && (best == "" || area < least) {
			best, least = name, area
		}
	}
	if best == "" {
		return err.Advise("give a larger paper by its size, such as paper=320x450mm")
	}
	paper, _ := reorder.ParsePaper(best)
	return err.Advise("print it on %s: paper=%s", paper.Word(), best)
}
