package plan

import (
	"context"
	"errors"
	"math"
	"reflect"
	"slices"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
	"foldwright/reorder"
)

// Redraft plans a job once more from its plan and its source, so that every
// side is what it was. Profile and structure are the plan's own copies. version is that
// of this program. It refuses another source ([OtherSource]), a book that this program
// would plan differently ([ErrOtherPlan]), and what [survey.Look] refuses.
func Redraft(ctx context.Context, folder string, plan Plan, s *survey.Source, version string) (*Draft, error) {
	r := options.Resolved{Options: plan.Options, Profile: plan.Profile, PaperBecause: "as it was", Rules: plan.Structure, Version: version}
	var err error
	if r.Paper, err = reorder.ParsePaper(plan.Options.Paper); err != nil {
		return nil, refuse(folder, "%w", err)
	}
	r.Own = profiles.Paper{Name: plan.Paper.Own, Grain: plan.Paper.Grain, Tray: plan.Paper.Tray}
	if err := r.Profile.Check(); err != nil {
		return nil, refuse(folder, "%w", err)
	}
	if plan.Options.Blank > 0 {
		s = s.Nothing()
	}
	if err := plan.Source.CheckIs(s); err != nil {
		return nil, err
	}
	named := *s
	named.Name = plan.Source.File // it stands on the sheets
	v, err := survey.Look(ctx, &named, r.Options)
	if err != nil {
		return nil, err
	}
	d, err := arrange(r, v)
	if err != nil {
		return nil, err
	}
	if !plan.sameSheets(d.Plan()) {
		return nil, refuse(folder, "%w: it was made by version %s, this is %s", ErrOtherPlan, plan.ProgramVersion, version)
	}
	return d, nil
}

var ErrOtherPlan = errors.New("this program would plan the book differently")

// sameSheets tells whether another plan puts the same on every sheet, in the
// same runs.
func (p Plan) sameSheets(q Plan) bool {
	return p.Sheets == q.Sheets && p.Paper == q.Paper && math.Abs(p.Scale-q.Scale) < 1e-9 &&
		reflect.DeepEqual(p.Stations, q.Stations) && reflect.DeepEqual(p.Gatherings, q.Gatherings) && slices.EqualFunc(p.Runs, q.Runs, Run.prints)
}
