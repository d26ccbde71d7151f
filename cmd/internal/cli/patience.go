package cli

import (
	"time"

	"github.com/spf13/pflag"

	"foldwright/reorder/refusal"
)

// patience is how long something may take; 0: as long as it likes.
type patience time.Duration

const noLimit = "none"

// UnmarshalText reads a duration such as 90s, 10m or 1h30m, or none.
func (p *patience) UnmarshalText(text []byte) error {
	if string(text) == noLimit {
		*p = 0
		return nil
	}
	d, err := time.ParseDuration(string(text))
	if err != nil || d <= 0 {
		return refusal.Use.New("%q is no time, write such as 90s, 10m or 2h, or none for no limit", text)
	}
	*p = patience(d)
	return nil
}

// usualTitleTime is more than four seconds for each page of a book of 10,000,
// which is prepared and proved in less on any machine; what takes longer hangs.
const usualTitleTime = 12 * time.Hour

// usualPageTime is a hundred times what a page of a book takes on a machine that
// has other work as well.
const usualPageTime = 20 * time.Second

func addPageTimeoutFlag(f *pflag.FlagSet, limit *time.Duration) {
	*limit = usualPageTime
	text(f, (*patience)(limit), "page-timeout", "TIME", "give up drawing a page that takes longer, such as 90s or 2m, or none (default 20s)")
}
