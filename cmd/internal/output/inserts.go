package output

import (
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// tellInserts tells of leaves of other paper: those of the book, or that the job prints them for one.
func (d Job) tellInserts(j *runsheet.Job) {
	for _, in := range d.Inserts {
		leaf := d.Options.Bind.TurnToSide(d.Trim.Of(d.Book.PanelSize(), d.Options.Bind))
		if in.FoldOut.Width > 0 {
			leaf.W = in.FoldOut.Width
		}
		paper := ""
		if in.Paper != "" {
			paper = in.PaperText()
		}
		j.Inserts = append(j.Inserts, runsheet.Insert{
			Name: in.Name, Printed: in.Printed, How: in.How, Ends: in.Ends, Sewn: in.Sewn, Stubs: in.Stubs,
			Leaf: d.Options.Bind.TurnToSide(leaf), Paper: paper, Laid: laid(in), FoldOut: in.FoldOut,
		})
	}
	if p := d.Options.Plates; p.IsGiven() {
		leaf := geom.Size{W: float64(p.Leaf.W), H: float64(p.Leaf.H)}
		in := plan.Insert{How: p.How, Laid: p.Laid}
		j.Plates = &runsheet.Plates{Book: p.Book, Insert: runsheet.Insert{
			Name: p.Name, Printed: true, How: p.How, Ends: p.Ends, Sewn: p.Sewn, Stubs: p.HasStub(), Leaf: leaf, Paper: d.Paper.Word(), Laid: laid(in), FoldOut: p.FoldOut,
		}}
	}
}

// laid is the places of an insert in words.
func laid(in plan.Insert) []runsheet.Laid {
	return lists.Map(in.Laid, func(l options.Laid) runsheet.Laid { return runsheet.Laid{Text: l.Text(in.How), Slot: l.Slot} })
}
