package geom

import (
	"math"
	"testing"
)

func TestParseLength(t *testing.T) {
	for text, want := range map[string]float64{
		"12.7": 12.7, "1/2in": 12.7, "1 1/2 in": 38.1, "3/32in": 2.38125, "72pt": 25.4, " 6 mm ": 6, "-1/4in": -6.35,
	} {
		got, ok := ParseLength(text)
		if !ok || math.Abs(got-want) > 1e-9 {
			t.Errorf("%q is %g mm, %t, want %g", text, got, ok, want)
		}
	}
	for _, text := range []string{"", "in", "1/0in", "1/2/3", "1 2 3/4in", "NaN", "Inf", "1//2", "a/2", "-1 1/2in"} {
		if got, ok := ParseLength(text); ok {
			t.Errorf("%q is read as %g mm", text, got)
		}
	}
}
