package strict

import "testing"

func TestNearest(t *testing.T) {
	known := []string{"paper", "pages", "place", "printer", "out"}
	for word, want := range map[string]string{
		"pappr": "paper", "papr": "paper", "paepr": "paper", "pagse": "pages", "printr": "printer",
		"paper": "paper", "moon": "", "x": "", "": "", "ouut": "out",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("%q is taken for %q, want %q", word, got, want)
		}
	}
}
