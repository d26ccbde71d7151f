package look

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// pageView is a page of the bound book.
type pageView struct {
	Place     int // in the book, from 1
	Gathering int // its number
	Page      int // of the source, 0 for a blank
	Half      survey.Half
	Made      string // what a page is called that is made and has no number, a half-title
	Recto     bool
	picture   // of the trimmed leaf, read upright
}

// Name is how a page is called below its picture.
func (p pageView) Name() string {
	switch {
	case p.Page == 0:
		return "blank"
	case p.Made != "":
		return p.Made
	case p.Half != 0:
		return fmt.Sprintf("%d, %s half", p.Page, p.Half)
	}
	return fmt.Sprint(p.Page)
}

// Alt is the same where it stands alone.
func (p pageView) Alt() string {
	switch {
	case p.Page == 0:
		return "blank page"
	case p.Made != "":
		return p.Name()
	}
	return "page " + p.Name()
}

// madeName is what a page of the source is called that stands in no file; empty: it does, or the book has none.
func madeName(d *plan.Draft, source int) string {
	switch {
	case d.IsHalfTitle(source):
		return "half-title"
	case d.IsRuled(source):
		return "ruled page"
	}
	return ""
}

// pagesOf is the printed pages of the book in reading order.
func pagesOf(d *plan.Draft) []pageView {
	first := map[int]int{} // places before each gathering
	var out []pageView
	for _, g := range d.Gatherings() {
		first[g.Number] = len(out)
		for i := range g.Pages {
			out = append(out, pageView{Place: len(out) + 1, Gathering: g.Number, Recto: i%2 == 0})
		}
	}
	for _, s := range d.Printed {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			whole := picture{}
			for _, panel := range s.Sheet.Side(side) {
				g := s.Sheet.Pieces[panel.Piece-1].Gathering
				start, ok := first[g]
				if !ok {
					continue
				}
				if whole.Source == "" {
					whole = flatSide(d, s, side)
				}
				p := &out[start+panel.Place-1]
				p.picture = whole.cutOut(panel, panel.TrimmedRect(d.Trim, d.Options.CreepIn(d.Book)))
				if panel.Page != 0 {
					shown := d.Shown(panel.Page)
					p.Page, p.Half, p.Made = shown.Page, shown.Half, madeName(d, shown.Page)
				}
			}
		}
	}
	return out
}

// cutOut is what lies in a rectangle on the panel of a page, as it is read.
func (p picture) cutOut(panel reorder.Panel, r geom.Rect) picture {
	m := geom.Rotate(-panel.Head.Quarters())
	b := m.Bounds(r)
	out := picture{Source: p.Source}
	for _, part := range p.Parts {
		if middle := part.Clip.Centre(); middle.Rect().IsWithin(panel.Rect, 0) {
			out.Parts = append(out.Parts, part)
		}
	}
	return out.mapBy(m.Then(geom.Translate(-b.X0, -b.Y0)), b.Size())
}

// flatSide is a side of a sheet as it lies in the plan's frames.
func flatSide(d *plan.Draft, s reorder.PlacedSheet, side reorder.Side) picture {
	out := picture{Source: d.SHA256(), Size: d.Paper.Size}
	for _, p := range s.Side(side) {
		shown := d.Shown(p.Page)
		m := geom.Translate(-shown.Box.X0, -shown.Box.Y0).Then(p.Matrix)
		clip := p.Clip.Common(m.Bounds(shown.Seen))
		if clip.IsEmpty() {
			continue
		}
		// What is not visible in the source is on the paper, but not in what is drawn here.
		visible := d.Pages()[shown.Page-1].Visible().Size()
		out.Parts = append(out.Parts, part{Page: shown.Page, Size: visible, Matrix: m, Clip: clip})
	}
	return out
}

// opening is the pages that are seen at once.
type opening struct {
	Pages  []pageView // in reading order: one or two
	Volume int        // whose first opening it is; 0: no volume's, or the only one's
	Book   string     // where its pictures are
	Bind   reorder.Bind
}

// openingsOf is the openings of the bound book, volume by volume.
func openingsOf(d *plan.Draft, book string) []opening {
	var out []opening
	begins := map[int]int{} // volumes by their first gatherings
	if len(d.Volumes) > 1 {
		for _, v := range d.Volumes {
			begins[v.First] = v.Number
		}
	}
	last := 0 // gathering
	for _, p := range pagesOf(d) {
		volume := 0
		if p.Gathering != last {
			volume = begins[p.Gathering]
		}
		last = p.Gathering
		if p.Recto && len(out) > 0 && volume == 0 {
			o := &out[len(out)-1]
			o.Pages = append(o.Pages, p)
			continue
		}
		out = append(out, opening{[]pageView{p}, volume, book, d.Options.Bind})
	}
	return out
}

// Title names its pages.
func (o opening) Title() string {
	var names []string
	for _, p := range o.Pages {
		names = append(names, p.Alt())
	}
	return strings.Join(names, " and ")
}

// Lone is the side on which a page stands alone; empty: there are two.
func (o opening) Lone() string {
	switch {
	case len(o.Pages) == 2:
		return ""
	case o.Pages[0].Recto:
		return " look-recto"
	}
	return " look-verso"
}

// Shown is the picture of one of its pages.
func (o opening) Shown(p pageView) shown {
	return p.show(o.Book, fmt.Sprintf("page/%d", p.Place), 240)
}

// Way is how the pages of an opening lie.
func (o opening) Way() string {
	switch o.Bind {
	case reorder.BindRight:
		return " look-right"
	case reorder.BindTop:
		return " look-top"
	}
	return ""
}
