// Package strict reads YAML files that people write: one document, one mapping,
// no key that is not known or stands twice, and errors that know their line.
// [Decode] does it; [Nearest] is the word that a mistyped one was meant to be.
package strict

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	edlib "github.com/hbollon/go-edlib"
	"go.yaml.in/yaml/v3"
)

// At names a file and, unless it is 0, a line of it.
func At(file string, line int) string {
	if line > 0 {
		return fmt.Sprintf("%s, line %d", file, line)
	}
	return file
}

// KeyError says that a file has a key that does not exist.
type KeyError struct {
	Key   string
	Known []string
}

func (e *KeyError) Error() string {
	return fmt.Sprintf("key %q is not known; the keys are %s", e.Key, strings.Join(e.Known, ", "))
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

// Decode reads a file into a pointer to a struct, whose tags are the keys there are.
// With an error comes the line it concerns, 0 if it concerns the whole file.
func Decode(data []byte, into any) (line int, err error) {
	top, line, err := Document(data)
	if err != nil {
		return line, err
	}
	if top.Kind != yaml.MappingNode {
		return top.Line, errors.New("is not a list of keys and values")
	}
	if line, err := checkKeys(top, reflect.TypeOf(into)); err != nil {
		return line, err
	}
	return decodeEach(top, into)
}

// checkKeys refuses keys of a mapping that the type it is read into does not have, or that
// stand twice.
func checkKeys(mapping *yaml.Node, into reflect.Type) (line int, err error) {
	known, types := keysOf(into)
	seen := map[string]bool{}
	for i := 0; i+1 < len(mapping.Content); i += 2 {
		key, value := mapping.Content[i], mapping.Content[i+1]
		at := slices.Index(known, key.Value)
		if at < 0 {
			return key.Line, &KeyError{key.Value, known}
		}
		if seen[key.Value] {
			return key.Line, fmt.Errorf("key %q stands twice", key.Value)
		}
		seen[key.Value] = true
		if value.Kind == yaml.MappingNode {
			if line, err := checkKeys(value, types[at]); err != nil {
				return line, err
			}
		}
	}
	return 0, nil
}

// keysOf is the keys of a struct and the types of their values.
func keysOf(t reflect.Type) (keys []string, types []reflect.Type) {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil, nil
	}
	for _, f := range reflect.VisibleFields(t) {
		if key, _, _ := strings.Cut(f.Tag.Get("yaml"), ","); key != "" {
			keys, types = append(keys, key), append(types, f.Type)
		}
	}
	return keys, types
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

// Nearest is the word that a mistyped one was likely meant to be, empty if
// none is near: a third of its letters may be wrong, missing, too many, or changed
// places with their neighbours.
func Nearest(word string, known []string) string {
	best, least := "", len(word)/3+1
	for _, k := range known {
		if d := edlib.OSADamerauLevenshteinDistance(word, k); d < least {
			best, least = k, d
		}
	}
	return best
}

// Extension is how the names of the files end.
const Extension = ".yaml"

// IsFile tells whether a value that names one of several files that are known is
// the path of another: it holds a path separator or ends in .yaml.
func IsFile(value string) bool {
	return strings.ContainsAny(value, `/`+string(filepath.Separator)) || strings.HasSuffix(value, Extension)
}

// Names is the names of the files in a folder without their extension, sorted.
func Names(files fs.ReadDirFS, folder string) []string {
	entries, err := files.ReadDir(folder)
	if err != nil {
		return nil
	}
	var names []string
	for _, f := range entries {
		if name, ok := strings.CutSuffix(f.Name(), Extension); ok {
			names = append(names, name)
		}
	}
	return names
}
