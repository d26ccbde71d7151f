package reorder

import (
	"math"
	"strings"
	"testing"

	"foldwright/reorder/refusal"
)

// Pounds of 500 sheets, derived from the basis sizes and 453.59237 g to the
// pound: bond 17 x 22 in 3.7597, text 25 x 38 in 1.4801, cover 20 x 26 in
// 2.7041, index 25.5 x 30.5 in 1.8080 g/m2 per lb.
func TestPounds(t *testing.T) {
	for basis, want := range map[Basis]float64{Bond: 3.7597, BookText: 1.4801, Cover: 2.7041, IndexCard: 1.8080} {
		if got := basis.GSM(1); math.Abs(got-want) > 0.00005 {
			t.Errorf("a pound of %s is %.5f g/m2, want %.4f", basis, got, want)
		}
	}
	for text, want := range map[string]float64{
		"16lb-bond": 60.16, "20lb-bond": 75.19, "24lb-bond": 90.23, "28lb-bond": 105.27, "32lb-bond": 120.31,
		"60lb-text": 88.81, "60lb-bond": 225.58, "65lb-cover": 175.77, "110lb-index": 198.88, "80": 80, "80g": 80, " 80G ": 80,
	} {
		var w Weight
		if err := w.UnmarshalText([]byte(text)); err != nil || math.Abs(w.GSM-want) > 0.006 {
			t.Errorf("%s is %.2f g/m2 (%v), want %.2f", text, w.GSM, err, want)
		}
		var again Weight
		if err := again.UnmarshalText([]byte(w.String())); err != nil || again != w {
			t.Errorf("%s is written as %s and read again as %v (%v)", text, w, again, err)
		}
	}
	// A sheet of A4 of 80 g/m2 weighs 4.99 g, derived.
	if grams := 80 * 0.210 * 0.297; math.Abs(grams-4.99) > 0.005 {
		t.Errorf("a sheet of A4 weighs %.3f g", grams)
	}
}

func TestWeightsRefused(t *testing.T) {
	for text, want := range map[string]string{
		"60lb":       `weight "60lb" does not say on which kind of paper the pounds are counted; write 60lb-bond (226 g/m2), 60lb-text (89 g/m2), 60lb-cover (162 g/m2) or 60lb-index (108 g/m2)`,
		"60lb-card":  "does not say on which kind",
		"60lbbond":   "does not say on which kind",
		"heavy":      "is no weight of paper",
		"":           "is no weight of paper",
		"-80":        "is no weight of paper",
		"nan":        "is no weight of paper",
		"lb-bond":    "is no weight of paper",
		"5":          "would be 5 g/m2; paper for books lies between 20 and 500 g/m2",
		"200lb-bond": "would be 752 g/m2",
	} {
		var w Weight
		err := w.UnmarshalText([]byte(text))
		if refusal.Of(err) != refusal.Use {
			t.Errorf("%q is taken as %v (%v)", text, w, err)
			continue
		}
		if got := err.Error() + "; " + refusal.Hint(err); !strings.Contains(got, want) {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

// Paper merchants' figures, "guide only": 20 lb bond 0.097 mm, 24 lb 0.12 mm,
// 80 g/m2 writing paper about 0.10 mm.
func TestEstimatedCaliper(t *testing.T) {
	for text, want := range map[string]float64{"20lb-bond": 0.097, "24lb-bond": 0.12, "80": 0.10} {
		var w Weight
		if err := w.UnmarshalText([]byte(text)); err != nil {
			t.Fatal(err)
		}
		c := w.Caliper()
		if math.Abs(c.Usual-want) > 0.005 || c.Least > want || c.Most < want || c.Exact() {
			t.Errorf("%s is estimated as %v, want about %.3f", text, c, want)
		}
	}
	if c := MeasuredCaliper(0.1); !c.Exact() || c.Times(40).Usual != 4 {
		t.Errorf("a measured caliper is %v", c)
	}
}

// Bulk is the thickness of 8 pages times pages / 8 (paper merchant's table):
// 0.016 in gives 500 pages to the inch, and 320 pages are 0.64 in.
func TestBulk(t *testing.T) {
	leaf := MeasuredCaliper(0.016 * inch / 4)
	if got := leaf.Times(320/2).Usual / inch; math.Abs(got-0.64) > 1e-9 {
		t.Errorf("320 pages are %.4f in thick, want 0.64", got)
	}
	if got := leaf.Times(500/2).Usual / inch; math.Abs(got-1) > 1e-9 {
		t.Errorf("500 pages are %.4f in thick, want 1", got)
	}
}
