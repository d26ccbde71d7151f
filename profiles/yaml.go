package profiles

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"foldwright/profiles/strict"
	"foldwright/reorder/refusal"
)

// head are the first lines of every profile.
const head = `# What is known of one way through one printer: the tray, the delivery, the kind of
# paper and the computer you print from. If one of these changes, print the test
# sheet again (foldwright testsheet) and learn the printer anew.
`

// about says beside each fact what it tells and what may stand there.
var about = map[string]string{
	"two-sided": "automatic: the printer turns the paper itself; by-hand: you do",
	"feed-face": "the side of a loaded sheet that gets printed: up, down",
	"feed-from": "the end of the loaded stack that is fed first: top, bottom",
	"lands":     "how the side printed last comes to rest: face-up, face-down",
	"stacks":    "where the next sheet lands: on-top, beneath",
	"sends":     "what is sent first: first-page-first, last-page-first",
	"reload":    "how the stack goes back: as-delivered, rotate, turn-long, turn-short",
	"flip-edge": "the edge a sheet is turned over about between front and back: long, short",
}

// aboutLands is for a printer that turns the paper itself: of two faces
// printed in one pass the front is meant.
const aboutLands = "how the front comes to rest: face-up, face-down"

// aboutMore stands above keys that hold more than one value.
var aboutMore = map[string]string{
	"assumed":      "Facts that nobody has tested. Remove those that you have seen to be true.",
	"keep-clear":   "How far from the edges the printer stops, in mm.",
	"registration": "How far from their place images are printed, in mm. The print files correct it.",
	"scale":        "The size at which images are printed: 1 is exact. The print files correct it.",
}

// YAML is the profile as a file that a person can read and change: each fact
// with what it tells, and those that nobody has looked at marked.
func (p Profile) YAML() ([]byte, error) {
	data, err := writeYAML(p, head, aboutMore, p.commentOn)
	if err != nil {
		return nil, refuse(p.Name, 0, err)
	}
	return data, nil
}

// writeYAML writes a value below its first lines, with comments above keys and beside them.
func writeYAML(value any, head string, above map[string]string, beside func(key string) string) ([]byte, error) {
	var plain, out bytes.Buffer
	encoder := yaml.NewEncoder(&plain)
	encoder.SetIndent(2)
	if err := errors.Join(encoder.Encode(value), encoder.Close()); err != nil {
		return nil, err
	}
	out.WriteString(head)
	for line := range strings.Lines(plain.String()) {
		key, _, _ := strings.Cut(line, ":")
		if more, ok := above[key]; ok {
			fmt.Fprintf(&out, "\n# %s\n", more)
		}
		if says := beside(key); says != "" {
			line = fmt.Sprintf("%-25s # %s\n", strings.TrimSuffix(line, "\n"), says)
		}
		out.WriteString(line)
	}
	return out.Bytes(), nil
}

// commentOn is the comment beside a fact, empty for other keys.
func (p Profile) commentOn(key string) string {
	says := about[key]
	if key == "lands" && p.FeedFace == 0 {
		says = aboutLands
	}
	if says != "" && slices.Contains(p.Assumed, key) {
		says = "ASSUMED; " + says
	}
	return says
}

// refuse says what is wrong with a profile, and where: source is the file or the
// name of a built-in profile, and the line is 0 if it concerns the whole profile.
func refuse(source string, line int, err error) error {
	return refusal.Plan.New("profile %s: %w", strict.At(source, line), err)
}

// Parse reads one profile. source names it in errors.
func Parse(data []byte, source string) (Profile, error) {
	var p Profile
	if line, err := strict.Decode(data, &p); err != nil {
		return Profile{}, refuse(source, line, err)
	}
	if err := p.check(); err != nil {
		return Profile{}, refuse(source, 0, err)
	}
	return p, nil
}
