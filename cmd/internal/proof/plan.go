package proof

import (
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
)

// record is all that a proof reads of plan.json: what the job was made from and
// for, never where the planner has put a page.
type record struct {
	Source plan.Source `json:"source"`
	Paper  struct {
		WidthMM  float64 `json:"width_mm"`
		HeightMM float64 `json:"height_mm"`
	} `json:"paper"`
	Fold       reorder.Fold `json:"fold"`
	Cut        int          `json:"cut"`
	Nest       reorder.Nest `json:"nest"`
	Bind       reorder.Bind `json:"bind"`
	Gatherings []struct {
		Number     int `json:"number"`
		FirstSheet int `json:"first_sheet"` // its number in the book
		Sheets     int `json:"sheets"`
	} `json:"gatherings"`
	Runs    []run            `json:"runs"`
	Options options.Options  `json:"options"`
	Profile profiles.Profile `json:"profile"`
}

// run is which files are printed together, one after the other.
type run struct {
	Number int `json:"number"`
	Passes []struct {
		Pass printer.Pass `json:"pass"`
		File string       `json:"file"`
	} `json:"passes"`
}

// readPlan reads the plan in a folder.
func readPlan(folder string) (p record, err error) {
	return p, plan.ReadAs(folder, &p)
}

func (p record) paper() reorder.Size { return reorder.Size{W: p.Paper.WidthMM, H: p.Paper.HeightMM} }

// form is what the hands are told to do with the printed sheets.
func (p record) form() reorder.Form {
	return reorder.Form{
		Fold:    p.Fold,
		Cut:     p.Cut,
		Nest:    p.Nest,
		Bind:    p.Bind,
		Leaf:    p.Options.Leaf,
		CutEdge: p.Options.CutEdge,
		Copies:  p.Options.CopiesAcross,
		Overlap: float64(p.Options.Overlap),
	}
}

// sizes is the printed sheets of each gathering.
func (p record) sizes() []int {
	out := make([]int, len(p.Gatherings))
	for i, g := range p.Gatherings {
		out[i] = g.Sheets
	}
	return out
}

// sheetNumbers is the number in the book of each printed sheet, from the top
// of the finished stack.
func (p record) sheetNumbers() []int {
	var out []int
	for _, g := range p.Gatherings {
		for i := range g.Sheets {
			out = append(out, g.FirstSheet+i)
		}
	}
	return out
}
