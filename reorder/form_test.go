package reorder_test

import (
	"math"
	"slices"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// sizesOf is gatherings for so many sheets, as the form allows them.
func sizesOf(form reorder.Form, sheets, last int) []int {
	switch s := form.Fold.Scheme(); {
	case s.OneStack:
		return []int{sheets + last}
	case s.Alone:
		return slices.Repeat([]int{1}, sheets+last)
	}
	return []int{sheets, last}
}

// How many thicknesses a last fold bends: common practice calls 16 the most
// that folds well and 32 the most at all.
func TestThicknesses(t *testing.T) {
	for _, c := range []struct {
		form   reorder.Form
		sheets int
		want   int
	}{
		{reorder.FolioForm, 8, 1},
		{reorder.Form{Fold: reorder.Folio, Cut: 1, Nest: reorder.Together}, 16, 16},
		{reorder.Form{Fold: reorder.Quarto, Cut: 2, Nest: reorder.Together}, 3, 12},
		{reorder.Form{Fold: reorder.Octavo, Cut: 1, Nest: reorder.Together}, 4, 16},
		{reorder.Form{Fold: reorder.Sixteenmo, Cut: 1, Nest: reorder.Inset}, 3, 8},
		{reorder.Form{Fold: reorder.Loose, Cut: 1, Nest: reorder.Inset}, 3, 0},
	} {
		if got := c.form.Thicknesses(c.sheets); got != c.want {
			t.Errorf("%+v, %d sheets: %d thicknesses, want %d", c.form, c.sheets, got, c.want)
		}
	}
}

func TestFormsRefused(t *testing.T) {
	inset := func(fold reorder.Fold, cut int) reorder.Form {
		return reorder.Form{Fold: fold, Cut: cut, Nest: reorder.Inset, Bind: reorder.BindLeft}
	}
	with := func(f reorder.Form, how func(*reorder.Form)) reorder.Form { how(&f); return f }
	for name, c := range map[string]struct {
		form  reorder.Form
		sizes []int
		want  string
	}{
		"duodecimo cut":      {inset(reorder.Duodecimo, 2), []int{1}, "the fold duodecimo takes whole sheets, not pieces of a cut one"},
		"loose cut":          {inset(reorder.Loose, 2), []int{1}, "the fold loose takes whole sheets, not pieces of a cut one"},
		"two duodecimos":     {inset(reorder.Duodecimo, 1), []int{1, 2}, "with the fold duodecimo a gathering is one sheet, not 2"},
		"two pouches":        {inset(reorder.Pouch, 1), []int{2}, "with the fold pouch a gathering is one sheet, not 2"},
		"two concertinas":    {with(inset(reorder.Concertina, 1), func(f *reorder.Form) { f.Overlap = 10 }), []int{2, 2}, "with the fold concertina all sheets are one gathering, not 2"},
		"no overlap":         {inset(reorder.Concertina, 1), []int{2}, "an overlap of 0 mm does not hold the strip together"},
		"overlap of a folio": {with(inset(reorder.Folio, 1), func(f *reorder.Form) { f.Overlap = 10 }), []int{2}, "an overlap to glue is for a concertina, not for the fold folio"},
		"copies of a folio":  {with(inset(reorder.Folio, 1), func(f *reorder.Form) { f.Copies = true }), []int{2}, "two copies side by side are for loose leaves, not for the fold folio"},
		"tail of no cut":     {with(inset(reorder.Folio, 1), func(f *reorder.Form) { f.CutEdge = reorder.TailEdge }), []int{2}, "a cut edge at the tail needs a sheet that is cut"},
		"tail of four":       {with(inset(reorder.Folio, 4), func(f *reorder.Form) { f.CutEdge = reorder.TailEdge }), []int{2}, "with this fold and cut not every cut edge is at the tail"},
		"landscape folio":    {with(inset(reorder.Folio, 1), func(f *reorder.Form) { f.Leaf = reorder.Landscape }), []int{2}, "the fold folio, bound at the left, does not make a landscape leaf from a sheet of 210 x 297 mm"},
		"too thick":          {with(inset(reorder.Sixteenmo, 1), func(f *reorder.Form) { f.Nest = reorder.Together }), []int{5}, "5 sheets folded together as sixteenmo make 40 thicknesses at the last fold, and no more than 32 can be folded"},
	} {
		_, err := reorder.Arrange(a4, c.form, numbered(1), eachAlone(c.sizes))
		if refusal.Of(err) != refusal.Plan || err.Error() != c.want {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

// A landscape leaf comes of the cut or the fold on the other axis.
func TestLandscapeLeaves(t *testing.T) {
	for _, c := range []struct {
		form reorder.Form
		want geom.Size
	}{
		{reorder.Form{Fold: reorder.Folio, Cut: 2, Bind: reorder.BindLeft}, geom.Size{W: 148.5, H: 105}},
		{reorder.Form{Fold: reorder.Quarto, Cut: 1, Bind: reorder.BindRight}, geom.Size{W: 148.5, H: 105}},
		{reorder.Form{Fold: reorder.Octavo, Cut: 1, Bind: reorder.BindLeft}, geom.Size{W: 105, H: 74.25}},
		{reorder.Form{Fold: reorder.Sixteenmo, Cut: 1, Bind: reorder.BindLeft}, geom.Size{W: 74.25, H: 52.5}},
		{reorder.Form{Fold: reorder.Folio, Cut: 1, Bind: reorder.BindTop}, geom.Size{W: 210, H: 148.5}},
		{reorder.Form{Fold: reorder.Duodecimo, Cut: 1, Bind: reorder.BindLeft}, geom.Size{W: 74.25, H: 70}},
		{reorder.Form{Fold: reorder.Loose, Cut: 1, Bind: reorder.BindLeft}, geom.Size{W: 297, H: 210}},
		{reorder.Form{Fold: reorder.Loose, Cut: 1, Bind: reorder.BindLeft, Copies: true}, geom.Size{W: 210, H: 148.5}},
		{reorder.Form{Fold: reorder.Concertina, Cut: 1, Bind: reorder.BindLeft, Overlap: 10}, geom.Size{W: 287, H: 210}},
	} {
		c.form.Nest, c.form.Leaf = reorder.Inset, reorder.Landscape
		book := arranged(t, a4, c.form, 1, []int{1})
		got := book.PanelSize()
		if math.Abs(got.W-c.want.W) > 1e-9 || math.Abs(got.H-c.want.H) > 1e-9 {
			t.Errorf("%+v: %v, want %v", c.form, got, c.want)
		}
		if leaf, err := c.form.PanelSize(a4); err != nil || math.Abs(leaf.W-c.want.W) > 1e-9 || math.Abs(leaf.H-c.want.H) > 1e-9 {
			t.Errorf("%+v: without pages %v, %v", c.form, leaf, err)
		}
	}
}
