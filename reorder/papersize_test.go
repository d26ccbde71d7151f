package reorder

import (
	"math"
	"strings"
	"testing"

	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// TestISO216 is check-value 3.1: the tables of ISO 216 for the A and B series,
// as read in a secondary table of the standard.
func TestISO216(t *testing.T) {
	tables := map[string]string{
		"a": "841x1189 594x841 420x594 297x420 210x297 148x210 105x148 74x105 52x74 37x52 26x37",
		"b": "1000x1414 707x1000 500x707 353x500 250x353 176x250 125x176 88x125 62x88 44x62 31x44",
	}
	for series, table := range tables {
		var above geom.Size
		for i, dims := range strings.Fields(table) {
			name := "iso_" + series + itoa(i) + "_" + dims + "mm"
			p, err := ParsePaper(name)
			if err != nil || p.Name != name {
				t.Errorf("%s: %v, %v", name, p, err)
				continue
			}
			// Each size is half of the one before, the half millimetre dropped.
			if half := (geom.Size{W: math.Floor(above.H / 2), H: above.W}); i > 0 && p.Size != half {
				t.Errorf("%s is %v, half of the size before is %v", name, p.Size, half)
			}
			above = p.Size
		}
	}
	if p, err := ParsePaper("jis-b5"); err != nil || p.Size != (geom.Size{W: 182, H: 257}) { // ISO 216 table's note: JIS B5 is 182x257
		t.Errorf("jis-b5: %v, %v", p, err)
	}
}

func itoa(i int) string { return strings.Fields("0 1 2 3 4 5 6 7 8 9 10")[i] }

// TestPWGNames is check-value 3.2: self-describing names of PWG 5101.1.
func TestPWGNames(t *testing.T) {
	for short, want := range map[string]struct {
		name string
		w, h float64
	}{
		"a3":          {"iso_a3_297x420mm", 297, 420},
		"a4":          {"iso_a4_210x297mm", 210, 297},
		"a5":          {"iso_a5_148x210mm", 148, 210},
		"iso-b5":      {"iso_b5_176x250mm", 176, 250},
		"jis-b5":      {"jis_b5_182x257mm", 182, 257},
		"letter":      {"na_letter_8.5x11in", 215.9, 279.4}, // letter is 215.9 x 279.4 mm
		"legal":       {"na_legal_8.5x14in", 8.5 * 25.4, 14 * 25.4},
		"ledger":      {"na_ledger_11x17in", 11 * 25.4, 17 * 25.4},
		"half-letter": {"na_invoice_5.5x8.5in", 5.5 * 25.4, 8.5 * 25.4},
		"executive":   {"na_executive_7.25x10.5in", 7.25 * 25.4, 10.5 * 25.4},
	} {
		for _, text := range []string{short, want.name, strings.ToUpper(short)} {
			p, err := ParsePaper(text)
			if err != nil || p.Name != want.name || math.Abs(p.Size.W-want.w) > 1e-9 || math.Abs(p.Size.H-want.h) > 1e-9 {
				t.Errorf("%s: %v, %v", text, p, err)
			}
		}
	}
}

func TestPaperBySize(t *testing.T) {
	for text, want := range map[string]Paper{
		"210x297mm":                   {"iso_a4_210x297mm", geom.Size{W: 210, H: 297}},
		"297x210mm":                   {"iso_a4_210x297mm", geom.Size{W: 210, H: 297}}, // turned into feed orientation
		"11x8.5in":                    {"na_letter_8.5x11in", geom.Size{W: 215.9, H: 279.4}},
		"152x229mm":                   {"custom_152x229mm_152x229mm", geom.Size{W: 152, H: 229}},
		"custom_152x229mm_152x229mm":  {"custom_152x229mm_152x229mm", geom.Size{W: 152, H: 229}},
		"custom_my-paper_152x229.5mm": {"custom_152x229.5mm_152x229.5mm", geom.Size{W: 152, H: 229.5}},
	} {
		p, err := ParsePaper(text)
		if err != nil || p.Name != want.Name || math.Abs(p.Size.W-want.Size.W) > 1e-9 || math.Abs(p.Size.H-want.Size.H) > 1e-9 {
			t.Errorf("%s: %v, %v, want %v", text, p, err, want)
		}
	}
}

func TestPaperRefused(t *testing.T) {
	for text, want := range map[string]string{
		"b5":         `paper "b5" could mean two sizes`,
		"":           `paper "" is not known`,
		"foolscap":   `paper "foolscap" is not known`,
		"210x297":    `paper "210x297" is not known`,
		"0x297mm":    `paper "0x297mm" is not a size of sheet`,
		"40x60mm":    `paper "40x60mm" is not a size of sheet`,
		"210x9000mm": `paper "210x9000mm" is not a size of sheet`,
		"-1x-2mm":    `paper "-1x-2mm" is not known`,
	} {
		_, err := ParsePaper(text)
		if refusal.Of(err) != refusal.Plan || err.Error() != want || refusal.Hint(err).IsZero() {
			t.Errorf("%q: got %v, want %q", text, err, want)
		}
	}
}

func TestEveryShortNameIsKnown(t *testing.T) {
	for _, s := range ShortPaperNames() {
		if _, err := ParsePaper(s); err != nil {
			t.Error(err)
		}
	}
}
