package geom

import (
	"math"
	"strconv"
	"strings"
)

// lengthUnits are the units in which lengths are written, in mm.
var lengthUnits = []struct {
	suffix string
	mm     float64
}{{"mm", 1}, {"in", Inch}, {"pt", Inch / 72}}

// ParseLength reads a length: a number with mm, in or pt, where a number alone
// is millimetres. Numbers may be fractions: 12.7, 1/2in, 1 1/2 in. ok is
// false for anything else.
func ParseLength(text string) (mm float64, ok bool) {
	number, factor := strings.TrimSpace(text), 1.0
	for _, u := range lengthUnits {
		if rest, found := strings.CutSuffix(number, u.suffix); found {
			number, factor = rest, u.mm
			break
		}
	}
	v, ok := parseNumber(number)
	return v * factor, ok
}

// parseNumber reads 12.7, 1/2 and 1 1/2.
func parseNumber(text string) (float64, bool) {
	text = strings.TrimSpace(text)
	top, bottom, fraction := strings.Cut(text, "/")
	if !fraction {
		v, err := strconv.ParseFloat(text, 64)
		return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	whole := 0
	if words := strings.Fields(top); len(words) == 2 {
		w, err := strconv.Atoi(words[0])
		if err != nil || w < 0 {
			return 0, false
		}
		whole, top = w, words[1]
	}
	t, err := strconv.Atoi(strings.TrimSpace(top))
	b, err2 := strconv.Atoi(strings.TrimSpace(bottom))
	if err != nil || err2 != nil || b <= 0 || whole > 0 && t < 0 {
		return 0, false
	}
	return float64(whole) + float64(t)/float64(b), true
}

const Inch = 25.4
