package cli

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// printDraft writes the plan as a table that a person can read.
func printDraft(w io.Writer, d *plan.Draft) error {
	t := visible.NewTable(w)
	if d.IsBlankBook() {
		t.AddRow("source", "none: a blank book, %s", d.Options.Ruling)
	} else {
		t.AddRow("source", "%s, %s", d.Name, reorder.Count(len(d.Given().Pages()), "page"))
	}
	if spans := d.PartSpans(); len(spans) > 1 {
		for _, p := range spans {
			t.AddRow("", "pages %s: %s", span(p.First, p.Last), p.File)
		}
	}
	t.AddRow("printer", "%s", d.Profile.Name)
	t.AddRow("paper", "%s, %s (%s)", d.Paper.Name, d.Paper.Size, d.PaperBecause)
	if text := d.GrainText(); text != "" {
		t.AddRow("grain", "%s", text)
	}
	t.AddRow("leaf", "%s, %s, bound at the %s", d.LeafText(), formText(d.Book.Form), d.Book.Form.Bind)
	t.AddRow("pages", "%s, %s", reorder.Count(d.PagesPrinted(), "page"), reorder.Count(d.BlanksPrinted(), "blank"))
	if text := d.BetweenText(); text != "" {
		t.AddRow("blank", "%s", text)
	}
	t.AddRow("sheets", "%d in %s", len(d.Printed), reorder.Count(len(d.Gatherings()), "gathering"))
	if n := d.Options.HowOften(); n > 1 {
		t.AddRow("copies", "%d, %s of paper in all", n, reorder.Count(d.SheetsPrinted(), "sheet"))
	}
	if len(d.Volumes) > 1 {
		t.AddRow("volumes", "%s", volumesText(d))
	}
	t.AddRow("thickness", "%s", d.Thickness())
	t.AddRow("creep", "%s", d.Creep().In(flagStyle{}))
	if len(d.Measures) > 0 {
		t.AddRow("structure", "%s, %s", d.Structure.Title, reorder.Count(len(d.Measures[0].Stations.Holes), "station"))
	}
	swelling, remedies := d.Swelling()
	for _, text := range swelling {
		t.AddRow("swelling", "%s", text)
	}
	t.AddRow("scale", "%s percent of %s", geom.Percent(d.Placement.Scale), d.Placement.Most)
	if text := d.Margins(); text != "" {
		t.AddRow("margins", "%s", text)
	}
	t.AddRow("runs", "%s", runsText(d))
	visible.Fprintf(t, "\ngathering\t%s\tsheet numbers\tpages\n", map[bool]string{false: "sheets", true: "pieces"}[d.Book.Form.ByPieces])
	for _, g := range d.Gatherings() {
		on := d.SheetsFor(g)
		visible.Fprintf(t, "%d\t%d\t%s\t%s\n", g.Number, d.SizeOf(g), span(on[0], on[len(on)-1]), pagesOf(d, g))
	}
	if len(d.Inserts) > 0 {
		visible.Fprintf(t, "\nlaid in\thow\tpaper\twhere\n")
		for _, in := range d.Inserts {
			for i, where := range in.Places() {
				name, how, paper := in.Name, in.HowText(), in.PaperText()
				if i > 0 {
					name, how, paper = "", "", ""
				}
				visible.Fprintf(t, "%s\t%s\t%s\t%s\n", name, how, paper, where)
			}
		}
	}
	if err := t.Flush(); err != nil {
		return err
	}
	says := append(remarks(d), lists.Map(remedies, func(r string) string { return "advice: " + r })...)
	if len(says) > 0 {
		says = append([]string{""}, says...)
	}
	for _, line := range says {
		if _, err := visible.Fprintln(w, line); err != nil {
			return err
		}
	}
	return nil
}

// formText names how sheets become gatherings, as far as it is not the usual way.
func formText(f reorder.Form) string {
	text := f.Fold.String()
	if f.Cut > 1 {
		text = fmt.Sprintf("cut in %d, %s", f.Cut, text)
	}
	if f.Copies {
		text = "two copies cut apart, " + text
	}
	if f.Nest == reorder.Together {
		text += " together"
	}
	if f.CutEdge == reorder.TailEdge {
		text += ", cut edges at the tail"
	}
	return text
}

func span(first, last int) string { return options.Pages{{First: first, Last: last}}.String() }

// pagesOf writes the gathering's pages as spans, as the source counts them,
// with its blanks. Both halves of a spread are one page of the source.
func pagesOf(d *plan.Draft, g reorder.Gathering) string {
	if d.IsBetween(g.Number) {
		return "blank, " + d.BetweenKind() + ": no page of the PDF"
	}
	pages := slices.DeleteFunc(d.SourcePages(g.Pages), func(page int) bool { return page == 0 })
	blanks := len(g.Pages) - len(pages)
	held := len(pages)
	pages = slices.DeleteFunc(pages, d.IsHalfTitle)
	var words []string
	if len(pages) > 0 {
		words = strings.Split(plan.PageRanges(slices.Compact(pages)).String(), ",")
	}
	if n := held - len(pages); n > 0 {
		words = append(words, reorder.Count(n, "half-title"))
	}
	switch {
	case held == 0:
		return reorder.Count(blanks, "blank")
	case blanks > 0:
		words = append(words, reorder.Count(blanks, "blank"))
	}
	return strings.Join(words, ", ")
}

// volumesText says with which gathering and page each volume begins.
func volumesText(d *plan.Draft) string {
	words := lists.Map(d.Volumes, func(v reorder.Volume) string {
		if v.FirstPage == 0 {
			return fmt.Sprintf("gatherings %s, all blank", span(v.First, v.Last()))
		}
		return fmt.Sprintf("gatherings %s from page %d", span(v.First, v.Last()), v.FirstPage)
	})
	return fmt.Sprintf("%d: %s", len(d.Volumes), strings.Join(words, ", "))
}

func runsText(d *plan.Draft) string {
	if len(d.Runs) == 1 {
		return fmt.Sprintf("1 run of %s", reorder.Count(d.Runs[0].Sheets, "sheet"))
	}
	words := lists.Map(d.Runs, func(r plan.Run) string { return fmt.Sprint(r.Sheets) })
	return fmt.Sprintf("%d runs of %s sheets", len(d.Runs), strings.Join(words, ", "))
}
