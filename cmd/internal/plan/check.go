package plan

import (
	"cmp"
	"fmt"
	"slices"

	"foldwright/printer"
)

// mostCount is beyond any number that stands in a plan for itself, without a
// list that bears it out.
const mostCount = 1_000_000

// check refuses a plan whose counts are not borne out by its lists, before
// anybody makes room for what they promise.
func (p Plan) check() error {
	if w, h := p.Paper.W, p.Paper.H; !(w > 0 && w <= h && h < 10000) {
		return fmt.Errorf("its paper is %g x %g mm", w, h)
	}
	places, sheets, err := p.checkGatherings()
	if err != nil {
		return err
	}
	if p.Sheets != sheets {
		return fmt.Errorf("it counts %d sheets and its gatherings have %d", p.Sheets, sheets)
	}
	if c := p.Copies; c < 0 || c > mostCount || c == 1 || c != p.Options.Copies && max(c, p.Options.Copies) > 1 || c > 1 && (sheets%c != 0 || len(p.Gatherings)%c != 0) {
		return fmt.Errorf("it has %d copies of %d sheets in all", c, sheets)
	}
	if p.BookSheets != 0 && (p.BookSheets < sheets/max(1, p.Copies) || p.BookSheets > mostCount) {
		return fmt.Errorf("it counts %d sheets in the whole book and prints %d", p.BookSheets, sheets)
	}
	return cmp.Or(p.Source.check(), p.checkRuns(), p.checkVolumes(), p.checkOptions(places))
}

func (p Plan) checkGatherings() (places, sheets int, err error) {
	for i, g := range p.Gatherings {
		name := fmt.Sprintf("entry %d of its gatherings", i+1)
		switch {
		case (g.Pieces > 0) != (p.Options.Pieces > 0), g.Pieces < 0 || g.Pieces > len(g.Pages), g.Pieces > 0 && (!isCount(g.FirstPiece) || !isCount(g.Stack)):
			return 0, 0, fmt.Errorf("%s counts %d pieces", name, g.Pieces)
		// Each sheet has a page at least; sheets that gatherings share are counted with one of them.
		case g.Sheets < 1 && g.Pieces == 0 || g.Sheets < 0 || g.Sheets > len(g.Pages):
			return 0, 0, fmt.Errorf("%s counts %d sheets and lists %d pages", name, g.Sheets, len(g.Pages))
		case g.Copy < 0 || g.Copy > max(0, p.Copies) || (g.Copy == 0) != (p.Copies == 0):
			return 0, 0, fmt.Errorf("%s belongs to copy %d of %d", name, g.Copy, p.Copies)
		case !isCount(g.Number) || !isCount(g.FirstSheet):
			return 0, 0, fmt.Errorf("%s has the number %d and the first sheet %d", name, g.Number, g.FirstSheet)
		case len(g.Halves) > 0 && len(g.Halves) != len(g.Pages):
			return 0, 0, fmt.Errorf("%s lists %d pages and %d halves", name, len(g.Pages), len(g.Halves))
		}
		for _, page := range g.Pages {
			if page < 0 || page > p.Source.Pages+p.Source.Made {
				return 0, 0, fmt.Errorf("%s lists page %d, the source has %d", name, page, p.Source.Pages)
			}
		}
		places, sheets = places+len(g.Pages), sheets+g.Sheets
	}
	return places, sheets, nil
}

func (p Plan) checkRuns() error {
	left := p.Sheets
	for i, r := range p.Runs {
		name := fmt.Sprintf("entry %d of its runs", i+1)
		if r.Sheets < 1 || r.Sheets > left {
			return fmt.Errorf("%s counts %d sheets, and %d are left", name, r.Sheets, left)
		}
		left -= r.Sheets
		passes := p.Profile.Files(1, r.PrintsBacks())
		if !slices.EqualFunc(r.Passes, passes, func(named Pass, f printer.File) bool { return named.Pass == f.Pass }) {
			return fmt.Errorf("%s does not name the files of its passes", name)
		}
	}
	if left > 0 {
		return fmt.Errorf("its runs leave out %d of %d sheets", left, p.Sheets)
	}
	return nil
}

func (p Plan) checkVolumes() error {
	gatherings, sheets := len(p.Gatherings), p.Sheets
	if p.Options.OnlyGathering > 0 { // the volumes are those of the whole book
		gatherings, sheets = mostCount, mostCount
	}
	for i, v := range p.Volumes {
		if v.Gatherings < 1 || v.Gatherings > gatherings || v.Sheets < 1 || v.Sheets > sheets || !isCount(v.First) || !isCount(v.FirstSheet) {
			return fmt.Errorf("entry %d of its volumes counts more than there is", i+1)
		}
	}
	return nil
}

// checkOptions looks at the options that are counts.
func (p Plan) checkOptions(places int) error {
	o := p.Options
	most := places
	if o.OnlyGathering > 0 {
		most = mostCount // the lists are those of one gathering
	}
	if o.BlanksBefore < 0 || o.BlanksAfter < 0 || o.BlanksBefore > most || o.BlanksAfter > most {
		return fmt.Errorf("it has %d blank pages before the text and %d after it, and lists %d pages", o.BlanksBefore, o.BlanksAfter, places)
	}
	for _, page := range p.Covers {
		if page < 1 || page > p.Source.Pages {
			return fmt.Errorf("page %d is taken for the cover, and the source has %d", page, p.Source.Pages)
		}
	}
	sum := 0
	for _, n := range o.Gatherings {
		sum += n
		if n < 1 || n > mostCount || sum > mostCount {
			return fmt.Errorf("its options want a gathering of %d sheets", n)
		}
	}
	for name, n := range map[string]int{"sheets": o.Sheets, "pieces": o.Pieces, "pieces-in-book": p.BookPieces, "fewest": o.Fewest, "only-gathering": o.OnlyGathering, "volumes": o.Volumes, "blank": o.Blank, "supports": o.Supports, "cut": o.Cut, "source": p.Source.Pages} {
		if n < 0 || n > mostCount {
			return fmt.Errorf("%s is %d", name, n)
		}
	}
	return nil
}

// isCount tells whether a number of a gathering or a sheet can be one.
func isCount(n int) bool { return n >= 1 && n <= mostCount }
