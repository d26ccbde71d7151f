package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"

	"foldwright/reorder"
)

// SourceError says that the PDF from which a job was made is not at hand.
type SourceError struct {
	Path string
	Why  string
}

func (e *SourceError) Error() string { return e.Path + ": " + e.Why }

// Hint is what to do about it.
func (e *SourceError) Hint() string {
	return "name the PDF that the folder was prepared from with --source, or prepare the book again"
}

// OtherSource is the [*SourceError] of a file whose digest is not that of the source.
func OtherSource(path string) error {
	return &SourceError{path, "is not the file that the folder was prepared from, or it has been changed since"}
}

// Redraft plans a job once more from its plan and its source, so that every
// side is what it was. Profile and structure are the plan's own copies. The caller closes
// the draft's source. The errors are those of pdf.Open, a [*SourceError] if the
// source is another file, and a [*PlanError] if this program would plan the
// book differently.
func Redraft(ctx context.Context, folder string, plan Plan, path string, set Setting) (_ *Draft, err error) {
	d := &Draft{SourceName: plan.Source.File, Options: plan.Options, Profile: plan.Profile, version: set.Version, path: path, password: set.Password, folder: folderName(folder)}
	d.PaperBecause, d.Structure = "as it was", plan.Structure
	if d.Paper, err = reorder.ParsePaper(plan.Options.Paper); err != nil {
		return nil, &PlanError{folder, err}
	}
	if err := d.Profile.Check(); err != nil {
		return nil, &PlanError{folder, err}
	}
	if err := d.open(ctx, set.Engine); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			d.Source.Close()
		}
	}()
	if d.Source.SHA256() != plan.Source.SHA256 {
		return nil, OtherSource(path)
	}
	if err := d.arrange(ctx, set.Engine); err != nil {
		return nil, err
	}
	if !plan.sameSheets(d.Plan()) {
		return nil, &PlanError{folder, fmt.Errorf("%w: it was made by version %s, this is %s", errOtherPlan, plan.ProgramVersion, set.Version)}
	}
	return d, nil
}

var errOtherPlan = errors.New("this program would plan the book differently")

// sameSheets tells whether another plan puts the same on every sheet, in the
// same runs.
func (p Plan) sameSheets(q Plan) bool {
	return p.Sheets == q.Sheets && p.Paper == q.Paper && math.Abs(p.Scale-q.Scale) < 1e-9 &&
		reflect.DeepEqual(p.Stations, q.Stations) && reflect.DeepEqual(p.Gatherings, q.Gatherings) && reflect.DeepEqual(p.Runs, q.Runs)
}
