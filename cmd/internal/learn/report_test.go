package learn

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
)

// TestSummariesTellPrintersApart by all that somebody at the printer sees: how it prints, how sheets come out,
// how the stack goes back, and how a sheet is turned.
func TestSummariesTellPrintersApart(t *testing.T) {
	said := map[string]string{}
	for _, f := range virtual.All() {
		text := Summary(profiles.Profile{Facts: f})
		if strings.Contains(text, "  ") || strings.Contains(text, "not given") || !strings.HasSuffix(text, ".") {
			t.Errorf("%+v: %s", f, text)
		}
		seen := fmt.Sprint(f.TwoSided, f.Lands, f.Reload, f.FlipEdge)
		if other, is := said[text]; is && other != seen {
			t.Errorf("%s and %s: %s", seen, other, text)
		}
		said[text] = seen
	}
	if len(said) != 20 {
		t.Errorf("%d different summaries", len(said))
	}
}

// TestMeasuredSaysWhatIsCorrected, each once.
func TestMeasuredSaysWhatIsCorrected(t *testing.T) {
	var p profiles.Profile
	if got := Measured(p); len(got) > 0 {
		t.Errorf("of nothing: %v", got)
	}
	p.Registration.Back = printer.Shift{Right: 0.65, Up: -2.6}
	if got := fmt.Sprint(Measured(p)); got != "[The second printing lies 0.65 mm too far right and 2.6 mm too low. The print files correct it.]" {
		t.Error(got)
	}
	p.Registration.Both = printer.Shift{Right: -0.9}
	p.KeepClear = &printer.KeepClear{Head: 4, Tail: 12, Left: 4, Right: 4}
	var got []string
	for _, s := range Measured(p) {
		got = append(got, s.String())
	}
	if !slices.Equal(got, []string{
		"On the paper everything lies 0.9 mm too far left. The print files correct it.",
		"The second printing lies 0.65 mm too far right and 2.6 mm too low besides. The print files correct that, too.",
		"The printer stops 4 mm from the edge at the head, 4 at the right, 12 at the tail and 4 at the left.",
	}) {
		t.Errorf("%q", got)
	}
}
