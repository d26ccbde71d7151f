package inspect

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Numbering is how the source counts its pages.
type Numbering struct {
	Labels  bool `json:"labels"`          // the file names its pages
	Printed bool `json:"printed"`         // numbers are printed on them
	Offset  int  `json:"offset"`          // printed number less place in the file
	Sampled int  `json:"sampled"`         // pages that were looked at
	Agree   int  `json:"agree,omitempty"` // of these, pages whose number fits
}

// Margins is how the print lies between the edges of its pages, in the middle of all pages.
type Margins struct {
	Alternate  bool    `json:"alternate"` // from page to page
	InnerMM    float64 `json:"inner_mm"`  // at the spine, as planned
	ForeEdgeMM float64 `json:"fore_edge_mm"`
}

// margins compares the margins of rectos and versos as planned.
func (s *seenPages) margins(bind reorder.Bind) *Margins {
	var rectos, versos []bySide
	for _, side := range s.sides {
		if side.place%2 == 1 {
			rectos = append(rectos, side)
		} else {
			versos = append(versos, side)
		}
	}
	const fewest = 4 // pages of each kind
	if len(rectos) < fewest || len(versos) < fewest {
		return nil
	}
	rectoSpine, rectoFore := medians(rectos)
	versoFore, versoSpine := medians(versos)
	if bind == reorder.BindRight {
		rectoSpine, rectoFore, versoSpine, versoFore = rectoFore, rectoSpine, versoFore, versoSpine
	}
	const least = 3 // mm: less is ragged text
	return &Margins{
		// On both kinds of pages the same edge is wider by the same.
		Alternate:  math.Abs(rectoSpine-versoFore) > least && math.Abs(versoSpine-rectoFore) > least && (rectoSpine > versoFore) == (versoSpine > rectoFore),
		InnerMM:    plan.RoundTenth((rectoSpine + versoSpine) / 2),
		ForeEdgeMM: plan.RoundTenth((rectoFore + versoFore) / 2),
	}
}

// medians are those of the margins at the left and at the right.
func medians(sides []bySide) (left, right float64) {
	median := func(of func(bySide) float64) float64 {
		return slices.Sorted(slices.Values(lists.Map(sides, of)))[len(sides)/2]
	}
	return median(func(s bySide) float64 { return s.left }), median(func(s bySide) float64 { return s.right })
}

// inspectNumbers looks for printed page numbers in the head and the tail of a
// sample of pages: numbers that rise with the pages.
func (d inspector) inspectNumbers(ctx context.Context, doc *render.Document, in *Findings) error {
	in.Numbering.Labels = d.Labels() != nil
	votes := map[int]int{}
	for _, page := range survey.PickEvenly(d.inspectedPages(), sampledPages) {
		drawn, err := doc.Size(ctx, page)
		var words []render.Word
		if err == nil {
			words, err = doc.Words(ctx, page)
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil && !slices.Contains(in.Printed.Undrawn, page) {
			in.unread.Add(page, err)
		}
		if err != nil {
			continue
		}
		in.Numbering.Sampled++
		found := map[int]bool{}
		for _, w := range words {
			const band = 0.14 // of the height
			if y := w.Origin.Y / drawn.H; y > band && y < 1-band {
				continue
			}
			if n, err := strconv.Atoi(w.Text); err == nil && n > 0 && n < 100_000 && !found[n-page] {
				found[n-page] = true
				votes[n-page]++
			}
		}
	}
	for offset, n := range votes {
		if n > in.Numbering.Agree || n == in.Numbering.Agree && offset > in.Numbering.Offset {
			in.Numbering.Agree, in.Numbering.Offset = n, offset
		}
	}
	in.Numbering.Printed = in.Numbering.Agree >= 5 && 2*in.Numbering.Agree >= in.Numbering.Sampled
	if !in.Numbering.Printed {
		in.Numbering.Agree, in.Numbering.Offset = 0, 0
	}
	return nil
}

// findSides says whether rectos and versos are as the source shows them.
func (in *Findings) findSides(d inspector, say func(string, ...any)) {
	if in.Spreads != nil || d.Options.Split == options.SplitSpreads {
		return // numbers are of both halves
	}
	stands, _ := d.LabelStanding()
	if n := in.Numbering; n.Printed && stands == plan.StandsUnknown {
		for i, page := range d.Places() {
			if page == 0 || d.SourcePage(page)+n.Offset < 1 {
				continue
			}
			source := d.SourcePage(page)
			number := source + n.Offset
			stands = plan.StandsRight
			if i%2 != (number+1)%2 {
				stands = plan.StandsWrong
				say("%s", d.WrongSide(i+1, source, fmt.Sprint(number)))
			}
			break
		}
	}
	if stands != plan.StandsUnknown {
		return
	}
	if m := in.Margins; m != nil && m.Alternate && m.InnerMM > m.ForeEdgeMM+3 {
		say("the margins alternate, and the wider one (%.0f mm, against %.0f mm) lies at the spine: if it belongs at the fore-edge, rectos have become versos, and %s or %s corrects that",
			m.InnerMM, m.ForeEdgeMM, phrase.Set("blanks-before", d.Options.BlanksBefore+1), phrase.Set("drop-pages"))
		return
	}
	if first := d.SourcePage(d.FirstPage()); in.Cover {
		say("page %d looks like a cover, because it is printed to all four edges: if you make the cover of other paper, %s leaves it out, and the next page becomes a recto", first, phrase.Set("drop-pages", first))
	}
}
