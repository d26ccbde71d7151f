package visible

import "strings"

// Lines breaks a text at its spaces, at least into one line; fits tells whether a
// line is short enough to stand at its place, counted from 0. A word that is
// longer than a line stands alone.
func Lines(text string, fits func(line string, at int) bool) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		longer := strings.TrimSpace(line + " " + word)
		if line != "" && !fits(longer, len(out)) {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	return append(out, line)
}
