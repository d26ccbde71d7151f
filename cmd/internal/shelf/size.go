package shelf

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"foldwright/reorder/refusal"
)

// Size is an amount of memory or of file, in bytes.
type Size int64

const (
	KiB Size = 1 << 10
	MiB Size = 1 << 20
	GiB Size = 1 << 30
)

// sizeUnits are the units by name, the largest first, and how else they are written.
var sizeUnits = []struct {
	name     string
	suffixes []string
	unit     Size
}{{"GiB", []string{"gib", "gb", "g"}, GiB}, {"MiB", []string{"mib", "mb", "m"}, MiB}, {"KiB", []string{"kib", "kb", "k"}, KiB}}

func (s Size) String() string {
	for _, u := range sizeUnits {
		if s >= u.unit {
			return strconv.FormatFloat(math.Round(float64(s)/float64(u.unit)*10)/10, 'f', -1, 64) + " " + u.name
		}
	}
	return fmt.Sprintf("%d bytes", int64(s))
}

// UnmarshalText reads a number with GiB, MiB or KiB; gb, g and so on mean the same.
func (s *Size) UnmarshalText(text []byte) error {
	number, unit := strings.ToLower(strings.TrimSpace(string(text))), Size(0)
	for _, u := range sizeUnits {
		for _, suffix := range u.suffixes {
			if rest, ok := strings.CutSuffix(number, suffix); ok && unit == 0 {
				number, unit = strings.TrimSpace(rest), u.unit
			}
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || unit == 0 || !(v > 0 && v*float64(unit) < math.MaxInt64) {
		return refusal.Use.New("%q is no amount of memory, write such as 2GiB or 512MiB", text)
	}
	*s = Size(v * float64(unit))
	return nil
}

func (s Size) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
