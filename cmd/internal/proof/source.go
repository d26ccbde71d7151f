package proof

import (
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
)

// textOf is what should stand at each place of the book, from its first to its last
// page, without the blanks that fill the last gathering.
func textOf(v *survey.Survey, o options.Options) []survey.Shown {
	if o.Plates.Name != "" {
		return platesOf(v, o)
	}
	rectos, versos := starts(v, o.Recto), starts(v, o.Verso)
	begins := map[survey.Shown]bool{} // a part of the book
	for _, page := range v.Begins {
		begins[v.Shown(page)] = true
	}
	if o.TakeCovers > 0 {
		rectos[v.Shown(v.Chosen[0]).Page] = true // a text whose cover was taken off begins on a recto
	}
	out := make([]survey.Shown, o.BlanksBefore)
	last := 0
	for _, page := range v.Chosen {
		shown := v.Shown(page)
		first := shown.Page != last // of a split page the half that comes first
		recto := len(out)%2 == 0
		if first && (recto && versos[shown.Page] || !recto && rectos[shown.Page]) || !recto && begins[shown] {
			out = append(out, survey.Shown{})
		}
		out, last = append(out, shown), shown.Page
	}
	return append(out, make([]survey.Shown, o.BlanksAfter)...)
}

func starts(v *survey.Survey, o options.Starts) map[int]bool {
	pages := o.Pages
	if o.Outline {
		pages = v.OutlinePages()
	}
	out := map[int]bool{}
	for _, p := range pages {
		out[p] = true
	}
	return out
}

// fill puts blanks around the text until it has so many places. Before it
// stands an even number of them.
func fill(text []survey.Shown, places int, pad reorder.Pad) []survey.Shown {
	blanks := max(0, places-len(text))
	before := 0
	switch pad {
	case reorder.PadBefore:
		before = blanks - blanks%2
	case reorder.PadSplit:
		before = blanks / 2
		before -= before % 2
	}
	out := append(make([]survey.Shown, before), text...)
	return append(out, make([]survey.Shown, blanks-before)...)
}

// platesOf is what stands on leaves of other paper: so many pages on each leaf, or on each folded pair, from its first
// side on.
func platesOf(v *survey.Survey, o options.Options) (out []survey.Shown) {
	sides := 2
	if o.Fold != reorder.Loose {
		sides = 4
	}
	for range max(1, o.Plates.Repeat) {
		for i, page := range v.Chosen {
			if i%o.Plates.Each == 0 {
				out = append(out, make([]survey.Shown, sides)...)
			}
			out[len(out)-sides+i%o.Plates.Each] = v.Shown(page)
		}
	}
	return out
}
