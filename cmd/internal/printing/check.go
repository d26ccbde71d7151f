package printing

import (
	"foldwright/cmd/internal/plan"
	"foldwright/profiles"
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
