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
	// Counted by hand.
	for _, c := range []struct {
		a, b string
		want int
	}{{"teh", "the", 1}, {"terrns", "terns", 1}, {"gull", "tern", 4}, {"", "auk", 3}, {"skua", "sku", 1}} {
		if got := distance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
