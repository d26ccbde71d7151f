package shelf

import (
	"fmt"
	"math"
	"regexp"
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

	sizeLetters = "KMG" // of the units, each 1024 of the one before
)

func (s Size) String() string {
	for i := len(sizeLetters); i > 0; i-- {
		if unit := Size(1) << (10 * i); s >= unit {
			return strconv.FormatFloat(math.Round(float64(s)/float64(unit)*10)/10, 'f', -1, 64) + " " + sizeLetters[i-1:i] + "iB"
		}
	}
	return fmt.Sprintf("%d bytes", int64(s))
}

var sizeText = regexp.MustCompile(`^\s*([0-9.]+)\s*([GMKgmk])([Ii]?[Bb])?\s*$`)

// UnmarshalText reads a number with GiB, MiB or KiB; gb, g and so on mean the same.
func (s *Size) UnmarshalText(text []byte) error {
	if found := sizeText.FindStringSubmatch(string(text)); found != nil {
		v, err := strconv.ParseFloat(found[1], 64)
		v *= float64(Size(1) << (10 * (1 + strings.Index(sizeLetters, strings.ToUpper(found[2])))))
		if err == nil && v > 0 && v < math.MaxInt64 {
			*s = Size(v)
			return nil
		}
	}
	return refusal.Use.New("%q is not an amount of memory: use for example 2GiB or 512MiB", text)
}

func (s Size) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
