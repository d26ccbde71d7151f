package measure

import (
	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/reorder/geom"
)

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
