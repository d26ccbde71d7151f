package proof

import (
	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
)

// record is what a proof takes of the plan of a job: what it was made from and for.
type record struct{ plan.Plan }

// readPlan reads the plan in a folder and forgets at once which page the planner has put
// where, and how large, for that is to be proved. Its errors are a [*plan.Error].
func readPlan(folder string) (record, error) {
	p, err := plan.Read(folder)
	p.Scale = 0
	for i := range p.Gatherings {
		p.Gatherings[i].Pages, p.Gatherings[i].Halves = nil, nil
	}
	return record{p}, err
}

func (p record) paper() reorder.Size { return reorder.Size{W: p.Paper.WidthMM, H: p.Paper.HeightMM} }

// sizes is the printed sheets of each gathering.
func (p record) sizes() []int {
	out := make([]int, len(p.Gatherings))
	for i, g := range p.Gatherings {
		out[i] = g.Sheets
	}
	return out
}
