package job

import (
	"fmt"
	"slices"

	"foldwright/reorder"
)

// mostBlanks is more than anybody wants before or after a book.
const mostBlanks = 1000

// checkBlock refuses what contradicts itself in the plan of the text block.
func (o Options) checkBlock() error {
	exact := len(o.Gatherings) > 0
	switch {
	case o.Sheets < 0:
		return &UseError{"--sheets is a number of sheets from 1", ""}
	case o.Fewest < 0:
		return &UseError{"--fewest is a number of sheets from 1", ""}
	case o.Sheets > 0 && exact:
		return &UseError{"--sheets and --gatherings exclude each other", "--gatherings gives the exact sizes, --sheets the most"}
	case o.Fewest > 0 && exact:
		return &UseError{"--fewest and --gatherings exclude each other", "--gatherings gives the exact sizes, --fewest the fewest sheets"}
	case o.Sheets > 0 && o.Fewest > o.Sheets:
		return &UseError{fmt.Sprintf("--fewest %d is more than --sheets %d", o.Fewest, o.Sheets), "--fewest is the fewest sheets of a gathering, --sheets the most"}
	case o.GatheringThickness != (Thickness{}) && (exact || o.Sheets > 0 || o.Fewest > 0):
		return &UseError{"--gathering-thickness excludes --sheets, --fewest and --gatherings", "it works out the number of sheets"}
	case o.GatheringThickness != (Thickness{}) && o.Caliper == 0 && o.Weight.GSM == 0:
		return &UseError{"--gathering-thickness needs the paper's thickness", "give it with --caliper, or let it be estimated with --weight"}
	case o.BlanksBefore < 0 || o.BlanksBefore > mostBlanks:
		return &UseError{fmt.Sprintf("--blanks-before is a number from 0 to %d", mostBlanks), ""}
	case o.BlanksAfter < 0 || o.BlanksAfter > mostBlanks:
		return &UseError{fmt.Sprintf("--blanks-after is a number from 0 to %d", mostBlanks), ""}
	case o.Volumes < 0:
		return &UseError{"--volumes is a number from 1", ""}
	}
	return nil
}

// resolveSheets fills in the fewest and the most sheets of a gathering.
func (o *Options) resolveSheets() error {
	s := o.Fold.Scheme()
	if len(o.Gatherings) > 0 || s.OneStack {
		return nil
	}
	if s.Alone {
		o.Fewest, o.Sheets = 1, 1
		return nil
	}
	form := o.form()
	caliper, _ := o.caliper()
	thin, thick := float64(o.GatheringThickness.Thin), float64(o.GatheringThickness.Thick)
	switch {
	case thick == 0:
		if o.Sheets == 0 {
			o.Sheets = max(o.Fewest, reorder.SheetsOfThickness(form, caliper.Usual, reorder.UsualThickness))
		}
	case thin == thick:
		o.Sheets = reorder.SheetsOfThickness(form, caliper.Usual, thick)
	default:
		fewest, most, ok := reorder.SheetsWithin(form, caliper.Usual, thin, thick)
		if !ok {
			one := caliper.Usual * float64(form.PagesPerSheet()/2)
			return &ChoiceError{fmt.Sprintf("--gathering-thickness %s: no number of sheets makes it, folded sheets of this paper are %.2f mm thick each", o.GatheringThickness, one)}
		}
		o.Fewest, o.Sheets = fewest, most
	}
	o.Fewest = max(1, o.Fewest)
	return nil
}

// textBlock is the pages of the book with the blanks that were asked for
// before and after them, and before those that shall be rectos or versos.
func (d *Draft) textBlock(pages []int) ([]int, error) {
	o := d.Options
	rectos, err := d.startPages("--recto", o.Recto, pages)
	if err != nil {
		return nil, err
	}
	versos, err := d.startPages("--verso", o.Verso, pages)
	if err != nil {
		return nil, err
	}
	for _, p := range rectos {
		if slices.Contains(versos, p) {
			return nil, &ChoiceError{fmt.Sprintf("page %d cannot be a recto and a verso", d.SourcePage(p))}
		}
	}
	text := append(make([]int, o.BlanksBefore), pages...)
	text = reorder.OnSides(text, rectos, versos)
	return append(text, make([]int, o.BlanksAfter)...), nil
}

// startPages is the pages of the book that are named as a recto or a verso. Of
// the pages to which an outline leads those left out of the book do not count.
func (d *Draft) startPages(flag string, s Starts, pages []int) ([]int, error) {
	wanted := s.Pages
	if s.Outline {
		wanted = d.Source.OutlinePages()
		if len(wanted) == 0 {
			return nil, &ChoiceError{flag + " outline: the source has no outline that leads to its pages"}
		}
	}
	var out []int
	for _, source := range wanted {
		i := slices.IndexFunc(pages, func(p int) bool { return d.SourcePage(p) == source })
		switch {
		case i >= 0:
			out = append(out, pages[i])
		case !s.Outline:
			return nil, &ChoiceError{fmt.Sprintf("%s %d: that page is not in the book", flag, source)}
		}
	}
	return out, nil
}

// sizes is the printed sheets of each gathering for a text of so many places.
func (o Options) sizes(places int) []int {
	if len(o.Gatherings) > 0 {
		return o.Gatherings
	}
	if sizes, ok := o.formSizes(places); ok {
		return sizes
	}
	return reorder.SizesBetween(reorder.SheetsFor(places, o.form()), o.Fewest, o.Sheets)
}

// padding is the blanks that fill gatherings of the given sizes.
func padding(places int, form reorder.Form, sizes []int) int {
	sheets := 0
	for _, n := range sizes {
		sheets += n
	}
	return max(0, sheets*form.PagesPerSheet()-places)
}

// Volume is the gatherings that are bound in one cover.
type Volume struct {
	Number int
	reorder.Volume
	FirstSheet int // number in the book
	Sheets     int
	FirstPage  int // the first source page in it, 0 if it is all blank
}

// volumes shares the gatherings out among covers.
func (d *Draft) volumes(sizes []int) ([]Volume, error) {
	n := max(1, d.Options.Volumes)
	if n > len(sizes) {
		return nil, &ChoiceError{fmt.Sprintf("--volumes %d: the book has only %s", n, reorder.Count(len(sizes), "gathering"))}
	}
	var out []Volume
	for i, v := range reorder.Volumes(sizes, n) {
		volume := Volume{Number: i + 1, Volume: v, FirstSheet: d.Book.Gatherings[v.First-1].Sheets[0].Number}
		for _, g := range d.Book.Gatherings[v.First-1 : v.Last] {
			volume.Sheets += len(g.Sheets)
			for _, page := range g.Pages {
				if volume.FirstPage == 0 {
					volume.FirstPage = d.SourcePage(page)
				}
			}
		}
		out = append(out, volume)
	}
	return out, nil
}
