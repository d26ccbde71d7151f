package plan

import (
	"fmt"
	"foldwright/cmd/internal/options"
)

func PageRanges(rising []int) (out options.Pages) {
	for _, n := range rising {
		if last := len(out) - 1; last >= 0 && out[last].Last == n-1 {
			out[last].Last = n
			continue
		}
		out = append(out, options.PageRange{First: n, Last: n})
	}
	return out
}

// ranges writes rising numbers shortly. What would be too long for the name of
// a file is told by its ends.
func Ranges(numbers []int) string {
	const most = 40
	if text := PageRanges(numbers).String(); len(text) <= most {
		return text
	}
	return fmt.Sprintf("%d-to-%d", numbers[0], numbers[len(numbers)-1])
}
