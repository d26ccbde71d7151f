// Package structure keeps the rules of ways of binding in YAML files, each
// default with its source in a comment. [Find] reads a built-in structure by
// its name or a file; [Text] is a built-in one as people can copy and change
// it. What the rules mean is the business of package binding.
package structure

import (
	"cmp"
	"embed"
	"errors"
	"io/fs"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/profiles/regular"
	"foldwright/profiles/strict"
	"foldwright/reorder/refusal"
)

//go:embed builtin/*.yaml
var builtin embed.FS

// mostBytes is far more than a structure needs.
const mostBytes = 1_000_000

// Usual is the structure of a book of several gatherings of which nobody has
// said how it is bound, Single that of one gathering, Leaves that of loose leaves.
const (
	Usual  = "case"
	Single = "pamphlet"
	Leaves = "stab"
)

// renamed holds the names that structures had before.
var renamed = map[string]string{"tapes": "flat-back"}

// refuse says what is wrong with a structure, and where: source is the file or the
// name of a built-in structure, and the line is 0 if it concerns the whole.
func refuse(source string, line int, err error) error {
	refused := refusal.Plan.New("structure %s: %w", strict.At(source, line), err)
	var key *strict.KeyError
	if errors.As(err, &key) {
		if near := strict.Nearest(key.Key, key.Known); near != "" {
			return refused.Advise("did you mean %s?", near)
		}
	}
	return refused
}

// Names is the names of the built-in structures, sorted.
func Names() []string {
	return strict.Names(builtin, "builtin")
}

// Text is a built-in structure as it is written, with the sources of its rules.
func Text(name string) ([]byte, error) {
	data, err := builtin.ReadFile("builtin/" + cmp.Or(renamed[name], name) + strict.Extension)
	if err != nil {
		return nil, refusal.Plan.New("there is no structure called %s", name).
			Advise("use %s, or the path of a YAML file, with a / in it or .yaml at its end", strings.Join(Names(), ", "))
	}
	return data, nil
}

// IsFile tells whether [Find] takes a value for a file and not for a name.
func IsFile(value string) bool { return strict.IsFile(value) }

// Find reads the structure of a name, or in a file.
func Find(value string) (binding.Structure, error) {
	if !IsFile(value) {
		data, err := Text(value)
		if err != nil {
			return binding.Structure{}, err
		}
		return Parse(data, value)
	}
	data, err := regular.Read(value, mostBytes)
	var plain *fs.PathError
	if errors.As(err, &plain) {
		err = plain.Err // the path is named already
	}
	if err != nil {
		return binding.Structure{}, refuse(value, 0, err)
	}
	return Parse(data, value)
}

// Parse reads one structure and is strict about keys and values. source names
// it in errors.
func Parse(data []byte, source string) (binding.Structure, error) {
	var s binding.Structure
	if line, err := strict.Decode(data, &s); err != nil {
		return s, refuse(source, line, err)
	}
	if err := s.Check(); err != nil {
		return s, refuse(source, lineOf(data, err), err)
	}
	return s, nil
}

// lineOf is the line of the rule that an error is about, 0 if it is about none
// that stands there.
func lineOf(data []byte, err error) int {
	var rule *binding.RuleError
	if !errors.As(err, &rule) || rule.Key == "" {
		return 0
	}
	return 1 + slices.IndexFunc(strings.Split(string(data), "\n"), func(line string) bool { return strings.HasPrefix(line, rule.Key+":") })
}
