package publish

import (
	"fmt"

	"foldwright/reorder/refusal"
)

// KeptText says in one line what a replaced folder held besides, and holds still.
func KeptText(names []string) string {
	const most = 5
	words := names
	if more := len(names) - most; more > 1 {
		words = append(names[:most:most], fmt.Sprintf("%d others", more))
	}
	return fmt.Sprintf("kept %s: not part of what was replaced", refusal.List(words, "and"))
}
