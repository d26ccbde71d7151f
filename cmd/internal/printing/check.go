package printing

import (
	"context"
	"fmt"
	"strings"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// MayLeaveOutCheck refuses to print without a check sheet where nobody has seen a good one.
func MayLeaveOutCheck(store profiles.Store, made plan.Plan) error {
	leaveOut := phrase.Set("no-check")
	if len(made.Profile.Assumed) > 0 {
		return refusal.Use.New("%s: nobody has seen how the printer of profile %s handles paper", leaveOut, made.Profile.Name).
			Advise("leave %s out, or learn the printer first", leaveOut)
	}
	checked, err := store.IsChecked(made.Profile, made.Paper.Name)
	if err == nil && !checked {
		err = refusal.Use.New("%s: no check sheet of profile %s was found right on this paper yet", leaveOut, made.Profile.Name).
			Advise("leave %s out this time", leaveOut)
	}
	return err
}

// checkSheet prints one sheet and asks whether the printer does today what its profile says.
func (s *Session) checkSheet(ctx context.Context, checked bool) error {
	if checked || s.journal.Checked || len(s.journal.Sent) > 0 {
		return nil
	}
	s.Person.Tell("First one sheet, to see whether the printer does today what its profile says.")
	steps := checkSteps(s.Plan)
	for _, step := range steps {
		if step.Pass == printer.BackPass {
			s.Person.Tell(putBackText(s.Plan.Profile.Reload, true))
		} else {
			s.Person.Tell(capitalize(freshText("1 sheet", s.paper)))
		}
		s.tellLoads(step, step)
		if err := s.send(ctx, step); err != nil {
			return err
		}
	}
	questions := []string{fmt.Sprintf("Measure both rules from end to end. Is each %s mm long, give or take half a millimetre?", geom.Millimetres(testsheet.CheckSheet{Paper: s.paper}.RuleLength()))}
	if steps[len(steps)-1].Pass != printer.FrontPass {
		questions = append(questions, fmt.Sprintf("Push a pin straight through the crosses %s on the front. Does each hole lie in the inner ring with the same letter on the back, and do the arrows on both sides point to the same edge?",
			strings.Join(testsheet.CheckMarks[:], " and ")))
	}
	for _, q := range questions {
		yes, err := s.Person.Confirm(ctx, q)
		if err != nil {
			return err
		}
		if !yes {
			_ = joblog.Append(context.WithoutCancel(ctx), s.Folder, joblog.Line{What: joblog.Checked}.With("right", "no")) // what follows matters more
			return refusal.Plan.New("the check sheet did not come out right, so nothing else was printed").
				Advise("print the test sheet, learn the printer again, and prepare the book with its new profile")
		}
	}
	s.journal.Checked = true
	if err := s.journal.write(ctx); err != nil {
		return err
	}
	if err := s.journal.tellLog(ctx); err != nil || s.Checked == nil {
		return err
	}
	return s.Checked()
}
