package publish

import (
	"fmt"
	"strings"
)

// KeptText says in one line what a replaced folder held besides, and holds still.
func KeptText(names []string) string {
	const most = 5
	words := names
	if more := len(names) - most; more > 1 {
		words = append(names[:most:most], fmt.Sprintf("%d others", more))
	}
	text := words[0]
	if last := len(words) - 1; last > 0 {
		text = strings.Join(words[:last], ", ") + " and " + words[last]
	}
	return fmt.Sprintf("kept %s: not part of what was replaced", text)
}
