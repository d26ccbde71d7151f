// Package strict reads YAML files that people write: one document, one mapping,
// no key that is not known or stands twice, and errors that know their line.
// [Decode] does it; [Nearest] is the word that a mistyped one was meant to be.
package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// At names a file and, unless it is 0, a line of it.
func At(file string, line int) string {
	if line > 0 {
		return fmt.Sprintf("%s, line %d", file, line)
	}
	return file
}

// Known is the keys of a file, by the path of the mapping that holds them:
// those at the top by "", those of scale.front by "scale.front".
type Known map[string][]string

// KeyError says that a file has a key that does not exist.
type KeyError struct {
	Key   string
	Known []string
}

func (e *KeyError) Error() string {
	return fmt.Sprintf("key %q is not known, known keys are %s", e.Key, strings.Join(e.Known, ", "))
}

// Document is the one document of a file. With an error comes the line it concerns,
// 0 if it concerns the whole file.
func Document(data []byte) (root *yaml.Node, line int, err error) {
	var document yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(data))
	switch err := decoder.Decode(&document); {
	case errors.Is(err, io.EOF):
		return nil, 0, errors.New("is empty")
	case err != nil:
		says := strings.TrimPrefix(err.Error(), "yaml: ")
		if n, _ := fmt.Sscanf(says, "line %d:", &line); n == 1 {
			_, says, _ = strings.Cut(says, ": ")
		}
		return nil, line, errors.New(says)
	}
	if err := decoder.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return nil, 0, errors.New("holds more than one document")
	}
	return document.Content[0], 0, nil
}

// Decode reads a file into a pointer to a struct. With an error comes the line
// it concerns, 0 if it concerns the whole file.
func Decode(data []byte, known Known, into any) (line int, err error) {
	top, line, err := Document(data)
	if err != nil {
		return line, err
	}
	if top.Kind != yaml.MappingNode {
		return top.Line, errors.New("is no list of keys and values")
	}
	if line, err := known.check(top, ""); err != nil {
		return line, err
	}
	return decodeEach(top, into)
}

// check refuses keys that are not known or stand twice.
func (known Known) check(mapping *yaml.Node, path string) (line int, err error) {
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
			if line, err := known.check(value, inner); err != nil {
				return line, err
			}
		}
	}
	return 0, nil
}

// decodeEach decodes key after key, so that an error knows its line.
func decodeEach(mapping *yaml.Node, into any) (line int, err error) {
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		key := mapping.Content[i]
		one := yaml.Node{Kind: yaml.MappingNode, Content: mapping.Content[i : i+2]}
		if err := one.Decode(into); err != nil {
			if typeErr := new(yaml.TypeError); errors.As(err, &typeErr) {
				err = fmt.Errorf("%s cannot be %s", key.Value, mapping.Content[i+1].Value)
			}
			return key.Line, err
		}
	}
	return 0, nil
}
