package profiles

import (
	"encoding/json"
	"slices"

	"go.yaml.in/yaml/v3"

	"foldwright/printer"
	"foldwright/profiles/strict"
	"foldwright/reorder/refusal"
)

// factKeys are the keys that hold facts, in the order in which profiles are written.
var factKeys = []string{"two-sided", "feed-face", "feed-from", "lands", "stacks", "sends", "reload", "flip-edge"}

func isFact(key string) bool { return slices.Contains(factKeys, key) }

// known are the keys of a profile and of the mappings in it.
var known = strict.Known{
	"": append(append([]string{"format", "name"}, factKeys...),
		"assumed", "tray-sheets", "tray", "process", "keep-clear", "paper", "registration", "scale", "note"),
	"keep-clear":        {"head", "tail", "left", "right"},
	"registration":      {"both", "back"},
	"registration.both": {"right", "up"},
	"registration.back": {"right", "up"},
	"scale":             {"front", "back"},
	"scale.front":       {"across", "along"},
	"scale.back":        {"across", "along"},
}

// refuse says what is wrong with a profile, and where: source is the file or the
// name of a built-in profile, and the line is 0 if it concerns the whole profile.
func refuse(source string, line int, err error) error {
	return refusal.Plan.New("profile %s: %w", strict.At(source, line), err)
}

// Parse reads one profile. source names it in errors.
func Parse(data []byte, source string) (Profile, error) {
	var p Profile
	if line, err := strict.Decode(data, known, &p); err != nil {
		return Profile{}, refuse(source, line, err)
	}
	if err := p.check(); err != nil {
		return Profile{}, refuse(source, 0, err)
	}
	return p, nil
}

// UnmarshalYAML takes one number for all edges, or a number for each.
func (c *Clear) UnmarshalYAML(node *yaml.Node) error {
	if node.Kind == yaml.MappingNode {
		return node.Decode(&c.KeepClear)
	}
	var mm float64
	if err := node.Decode(&mm); err != nil {
		return err
	}
	c.KeepClear = printer.AllEdges(mm)
	return nil
}

// MarshalYAML writes one number where all edges are alike.
func (c Clear) MarshalYAML() (any, error) {
	if c.KeepClear == printer.AllEdges(c.Head) {
		return c.Head, nil
	}
	return c.KeepClear, nil
}

// UnmarshalJSON and MarshalJSON keep to the four edges: plan.json is read by programs.
func (c *Clear) UnmarshalJSON(data []byte) error { return json.Unmarshal(data, &c.KeepClear) }
func (c Clear) MarshalJSON() ([]byte, error)     { return json.Marshal(c.KeepClear) }
