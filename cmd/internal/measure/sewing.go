package measure

import (
	"cmp"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/reorder/geom"
)

// Sewing is how the gatherings of a volume are pierced and sewn, in the words of the run sheet.
func Sewing(made plan.Plan, sheet binding.Sheet, volume int) []runsheet.Stage {
	j := runsheet.Job{Paper: made.Paper.Paper, Units: sheet.Units, Form: made.Options.Form(), Bench: []binding.Sheet{sheet}}
	j.Marks.Stations = made.Options.Marks.Stations && len(made.Stations) > 0
	stacks := [][][]int{nil, {{1}}}
	for _, g := range ofVolume(made, volume) {
		stacks[0] = append(stacks[0], []int{cmp.Or(g.Pieces, g.Sheets)})
		j.Gatherings = append(j.Gatherings, runsheet.Gathering{Number: g.Number, First: g.FirstSheet, Sheets: g.Sheets, Pieces: g.Pieces})
	}
	// Of the motions only the opening of bolts is needed, and that is the same in every gathering.
	for _, each := range stacks {
		if motions, err := j.Form.Handwork(made.Paper.Size, each); err == nil {
			j.Handwork = motions
			break
		}
	}
	return runsheet.SewingStages(j)
}

// ofVolume is the gatherings of a volume, from 1; of all if there are none.
func ofVolume(made plan.Plan, volume int) []plan.Gathering {
	if volume < 1 || volume > len(made.Volumes) {
		return made.Gatherings
	}
	v := made.Volumes[volume-1]
	return slices.DeleteFunc(slices.Clone(made.Gatherings), func(g plan.Gathering) bool { return g.Number < v.First || g.Number > v.Last() })
}

// ways is how the first two gatherings are sewn, for the bench sheet; none where leaves are sewn
// through their side, or two gatherings are sewn on at a time.
func ways(sheet binding.Sheet) (out []benchsheet.Way) {
	if sheet.Structure.Sewn == binding.Side || sheet.Structure.TwoOn {
		return nil
	}
	for number := 1; number <= min(2, sheet.Book.Gatherings); number++ {
		row := runsheet.SewRow{Sewn: runsheet.Sewn{Sheet: sheet, Gatherings: sheet.Book.Gatherings, Bind: sheet.Book.Bind}, Number: number}
		told, drawn := row.Text(), row.Drawing()
		heading, _ := drawn.Describe()
		out = append(out, benchsheet.Way{
			Heading: heading, Words: told.Lead.String() + " " + told.List[0].String() + " " + told.Else.String(),
			High: func(width float64) float64 { return drawing.HeightAt(drawn, width) },
			Draw: func(on *pdf.Drawing, at geom.Point, width float64) { drawing.OnPage(on, drawn, at, width) },
		})
	}
	return out
}
