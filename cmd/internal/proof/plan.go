package proof

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"foldwright/cmd/internal/job"
	"foldwright/profiles"
	"foldwright/profiles/regular"
	"foldwright/reorder"
)

// plan is all that a proof reads of plan.json: what the job was made from and
// for, never where the planner has put a page.
type plan struct {
	Source job.PlanSource `json:"source"`
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
	Options job.Options      `json:"options"`
	Profile profiles.Profile `json:"profile"`
}

// mostPlan is more bytes than the plan of any book takes.
const mostPlan = 256_000_000

// readPlan reads the plan in a folder. Its errors are a [*job.PlanError].
func readPlan(folder string) (p plan, err error) {
	if _, err := job.ReadPlan(folder); err != nil {
		return p, err
	}
	data, err := regular.Read(filepath.Join(folder, job.PlanFile), mostPlan)
	if err == nil {
		err = json.Unmarshal(data, &p)
	}
	switch size := p.paper(); {
	case err != nil:
		return p, &job.PlanError{Folder: folder, Err: err}
	case !(size.W > 0 && size.W <= size.H && size.H < 10000):
		return p, &job.PlanError{Folder: folder, Err: fmt.Errorf("%s names paper of %s", job.PlanFile, size)}
	}
	return p, p.Profile.Check()
}

func (p plan) paper() reorder.Size { return reorder.Size{W: p.Paper.WidthMM, H: p.Paper.HeightMM} }

// form is what the hands are told to do with the printed sheets.
func (p plan) form() reorder.Form {
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
func (p plan) sizes() []int {
	out := make([]int, len(p.Gatherings))
	for i, g := range p.Gatherings {
		out[i] = g.Sheets
	}
	return out
}

// sheetNumbers is the number in the book of each printed sheet, from the top
// of the finished stack.
func (p plan) sheetNumbers() []int {
	var out []int
	for _, g := range p.Gatherings {
		for i := range g.Sheets {
			out = append(out, g.FirstSheet+i)
		}
	}
	return out
}
