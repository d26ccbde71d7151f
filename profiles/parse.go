package profiles

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"foldwright/printer"
)

// factKeys are the keys that hold facts, in the order in which profiles are written.
var factKeys = []string{"two-sided", "feed-face", "feed-from", "lands", "stacks", "sends", "reload", "flip-edge"}

func isFact(key string) bool { return slices.Contains(factKeys, key) }

// known are the keys of a profile and of the mappings in it.
var known = map[string][]string{
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

// Error says what is wrong with a profile, where, and what would help.
type Error struct {
	Source string // the file, or the name of a built-in profile
	Line   int    // 0 if it concerns the whole profile
	Err    error
}

func (e *Error) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("profile %s, line %d: %v", e.Source, e.Line, e.Err)
	}
	return fmt.Sprintf("profile %s: %v", e.Source, e.Err)
}

func (e *Error) Unwrap() error { return e.Err }

// KeyError says that a profile has a key that does not exist.
type KeyError struct {
	Key   string
	Known []string
}

func (e *KeyError) Error() string {
	return fmt.Sprintf("key %q is not known, known keys are %s", e.Key, strings.Join(e.Known, ", "))
}

// Parse reads one profile. source names it in errors, which are an [*Error].
func Parse(data []byte, source string) (Profile, error) {
	var root yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	if err := decoder.Decode(&root); err != nil {
		if errors.Is(err, io.EOF) {
			err = errors.New("is empty")
		}
		return Profile{}, &Error{source, 0, err}
	}
	if err := decoder.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return Profile{}, &Error{source, 0, errors.New("holds more than one document")}
	}
	top := root.Content[0]
	if top.Kind != yaml.MappingNode {
		return Profile{}, &Error{source, top.Line, errors.New("is no list of keys and values")}
	}
	if line, err := checkKeys(top, ""); err != nil {
		return Profile{}, &Error{source, line, err}
	}
	var p Profile
	if line, err := decodeEach(top, &p); err != nil {
		return Profile{}, &Error{source, line, err}
	}
	if err := p.check(); err != nil {
		return Profile{}, &Error{source, 0, err}
	}
	return p, nil
}

// checkKeys refuses keys that are not known or stand twice.
func checkKeys(mapping *yaml.Node, path string) (line int, err error) {
	seen := map[string]bool{}
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		key, value := mapping.Content[i], mapping.Content[i+1]
		if !slices.Contains(known[path], key.Value) {
			return key.Line, &KeyError{key.Value, known[path]}
		}
		if seen[key.Value] {
			return key.Line, fmt.Errorf("key %q stands twice", key.Value)
		}
		seen[key.Value] = true
		if value.Kind == yaml.MappingNode {
			inner := strings.TrimPrefix(path+"."+key.Value, ".")
			if line, err := checkKeys(value, inner); err != nil {
				return line, err
			}
		}
	}
	return 0, nil
}

// decodeEach decodes key after key, so that an error knows its line.
func decodeEach(mapping *yaml.Node, p *Profile) (line int, err error) {
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		key := mapping.Content[i]
		one := yaml.Node{Kind: yaml.MappingNode, Content: mapping.Content[i : i+2]}
		if err := one.Decode(p); err != nil {
			if typeErr := new(yaml.TypeError); errors.As(err, &typeErr) {
				err = fmt.Errorf("%s cannot be %s", key.Value, mapping.Content[i+1].Value)
			}
			return key.Line, err
		}
	}
	return 0, nil
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
