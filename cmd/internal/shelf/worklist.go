package shelf

import (
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"foldwright/cmd/internal/options"
	"foldwright/profiles/regular"
	"foldwright/profiles/strict"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Example is a worklist with comments, to begin with.
//
//go:embed example.yaml
var Example string

// mostWorklist is more than a list of a million titles takes.
const mostWorklist = 256_000_000

// worklistFormat is the version of the format that this program reads.
const worklistFormat = 1

// Keys of a worklist that are no options of a title.
var (
	topKeys   = []string{"format", "out", "defaults", "titles"}
	titleKeys = []string{"source", "name", "out"}
)

// refuse says what is wrong with a worklist, and where; the line is 0 if it
// concerns the whole worklist.
func refuse(file string, line int, err error) error {
	return refusal.Use.New("%s: %w", strict.At(file, line), err)
}

// ReadWorklist makes a shelf of a worklist. Its relative paths are relative to
// the file. If out is empty, the worklist's own output is taken, else the
// current folder. The settings given come before those in the file. What is
// wrong in the file is refused; whether sources and printers exist
// is found out title by title, when they are prepared.
func ReadWorklist(file, out string, settings []phrase.Setting) (Shelf, error) {
	data, err := regular.Read(file, mostWorklist)
	if err != nil {
		return Shelf{}, err
	}
	given := lists.Map(settings, func(s phrase.Setting) written { return written{Setting: s} })
	w := worklist{file: file, folder: filepath.Dir(file), given: given, search: search}
	return w.shelf(data, out)
}

type worklist struct {
	file     string
	folder   string // its folder
	given    []written
	defaults []written
	search   func(folder, pattern string) ([]string, error)
}

// written is an option as a worklist has it.
type written struct {
	phrase.Setting
	line    int      // 0: from elsewhere
	further []string // what a list has after its first value, where that is the source
}

func (w worklist) fault(line int, format string, args ...any) error {
	return refuse(w.file, line, fmt.Errorf(format, args...))
}

func (w worklist) shelf(data []byte, out string) (Shelf, error) {
	root, line, err := strict.Document(data)
	if err != nil {
		return Shelf{}, w.fault(line, "%w", err)
	}
	top := map[string]*yaml.Node{}
	if err := w.each(root, topKeys, func(key, value *yaml.Node) error { top[key.Value] = value; return nil }); err != nil {
		return Shelf{}, err
	}
	if f := top["format"]; f == nil || f.Value != strconv.Itoa(worklistFormat) {
		return Shelf{}, w.fault(root.Line, "a worklist has to begin with format: %d", worklistFormat)
	}
	s := Shelf{Name: filepath.Base(w.file), Out: cmp.Or(out, "."), file: w.file}
	if node := top["out"]; out == "" && node != nil {
		value, err := w.scalar("out", node)
		if err != nil {
			return Shelf{}, err
		}
		s.Out = w.path(value)
	}
	if node := top["defaults"]; node != nil {
		if w.defaults, err = w.settings(node, optionKeys()); err != nil {
			return Shelf{}, err
		}
	}
	switch list := top["titles"]; {
	case list == nil:
		return Shelf{}, w.fault(root.Line, "the worklist has no titles")
	case list.Kind != yaml.SequenceNode:
		return Shelf{}, w.fault(list.Line, "titles has to be a list, each with a dash before it")
	case len(list.Content) == 0:
		return Shelf{}, w.fault(list.Line, "the list of titles is empty")
	}
	for _, node := range top["titles"].Content {
		titles, err := w.titles(node, s.Out)
		if err != nil {
			return Shelf{}, err
		}
		s.Titles = append(s.Titles, titles...)
	}
	return s, s.check()
}

// each goes through a mapping and refuses keys that are not known or stand twice.
func (w worklist) each(node *yaml.Node, known []string, do func(key, value *yaml.Node) error) error {
	if node.Kind == yaml.AliasNode {
		node = node.Alias
	}
	if node.Kind != yaml.MappingNode {
		return w.fault(node.Line, "a list of keys and values is needed here")
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		if !slices.Contains(known, key.Value) {
			return w.unknownKey(key, known)
		}
		if seen[key.Value] {
			return w.fault(key.Line, "key %q is given twice", key.Value)
		}
		seen[key.Value] = true
		if value.Kind == yaml.AliasNode {
			value = value.Alias
		}
		if err := do(key, value); err != nil {
			return err
		}
	}
	return nil
}

// unknownKey says what a key that is refused was likely meant to be.
func (w worklist) unknownKey(key *yaml.Node, known []string) error {
	near := strict.Nearest(key.Value, known)
	switch {
	case slices.Contains(titleKeys, key.Value):
		return w.fault(key.Line, "key %q belongs to a title", key.Value)
	case slices.Contains(optionKeys(), key.Value):
		return w.fault(key.Line, "key %q belongs to a title or to the defaults", key.Value)
	case near != "":
		return w.fault(key.Line, "key %q is not known, did you mean %q?", key.Value, near)
	}
	return w.fault(key.Line, "key %q is not known, known keys are %s", key.Value, strings.Join(known, ", "))
}

// path is relative to the worklist unless it says otherwise.
func (w worklist) path(value string) string {
	value = filepath.FromSlash(value)
	if filepath.IsAbs(value) {
		return filepath.Clean(value)
	}
	return filepath.Join(w.folder, value)
}

func (w worklist) scalar(key string, node *yaml.Node) (string, error) {
	if node.Kind != yaml.ScalarNode || node.Value == "" || node.Tag == "!!null" {
		return "", w.fault(node.Line, "%s has no value", key)
	}
	return node.Value, nil
}

// optionKeys are the keys of what a title can be asked for.
func optionKeys() []string { return append(options.Keys(), PasswordKey, ProofKey) }

// settings are the keys of a mapping with their values. One that is null has none: it
// takes back a default.
func (w worklist) settings(node *yaml.Node, known []string) (out []written, err error) {
	err = w.each(node, known, func(key, node *yaml.Node) (err error) {
		s := written{Setting: phrase.Set(key.Value), line: key.Line}
		if node.Tag != "!!null" || slices.Contains(titleKeys, key.Value) {
			s.Value, s.further, err = w.value(key.Value, node)
		}
		out = append(out, s)
		return err
	})
	return out, err
}

// value is an option as it stands after its flag; a list is written with commas, but of a
// list of sources, which are read as one book, the first is apart from the further ones.
func (w worklist) value(key string, node *yaml.Node) (value string, further []string, err error) {
	items := []*yaml.Node{node}
	if node.Kind == yaml.SequenceNode && len(node.Content) > 0 && (key == "source" || !slices.Contains(titleKeys, key)) {
		items = node.Content
	}
	var words []string
	for _, item := range items {
		word, err := w.scalar(key, item)
		if err != nil {
			return "", nil, err
		}
		words = append(words, word)
	}
	if key == "source" {
		return words[0], lists.Map(words[1:], w.path), nil
	}
	value = strings.Join(words, ",")
	if key == PasswordKey || (key == "printer" || key == "structure") && strict.IsFile(value) {
		value = w.path(value)
	}
	return w.movePaths(key, value), nil, nil
}

// movePaths brings the ways to the PDFs of inserts under the worklist's folder. What is no insert stays: it is refused
// with the other options.
func (w worklist) movePaths(key, value string) string {
	if moved, err := options.MovePaths(key, value, w.path); err == nil {
		return moved
	}
	return value
}

// overlay lays settings over others: of two with one key the upper one counts, and
// one without a value takes the lower one away.
func overlay(lower, upper []written) []written {
	for _, s := range upper {
		if lower = dropSetting(lower, s.Key); s.Value != "" {
			lower = append(lower, s)
		}
	}
	return lower
}

// find is the setting of a key; without one its value is empty.
func find(settings []written, key string) written {
	if i := slices.IndexFunc(settings, func(s written) bool { return s.Key == key }); i >= 0 {
		return settings[i]
	}
	return written{}
}

func dropSetting(settings []written, key string) []written {
	return slices.DeleteFunc(slices.Clone(settings), func(s written) bool { return s.Key == key })
}

// titles reads one entry of the list, which can stand for several titles.
func (w worklist) titles(node *yaml.Node, out string) (titles []Title, err error) {
	if node.Kind == yaml.AliasNode {
		node = node.Alias
	}
	own := []written{{Setting: phrase.Set("source", node.Value)}}
	if node.Kind != yaml.ScalarNode {
		if own, err = w.settings(node, append(slices.Clone(titleKeys), optionKeys()...)); err != nil {
			return nil, err
		}
	}
	var of [3]written
	for i, key := range titleKeys {
		of[i], own = find(own, key), dropSetting(own, key)
	}
	source, name, place := of[0].Value, of[1].Value, of[2].Value
	t := Title{line: node.Line, Name: name, Further: of[0].further}
	settings := overlay(overlay(w.defaults, own), w.given)
	if err := t.set(lists.Map(settings, func(s written) phrase.Setting { return s.Setting })); err != nil {
		return nil, w.refuseSetting(t.line, settings, err)
	}
	options, err := readSettings(t.Settings)
	if err != nil {
		return nil, w.refuseSetting(t.line, settings, err)
	}
	t.Options = &options
	switch blank := options.Blank > 0; {
	case source == "" && !blank:
		return nil, w.fault(node.Line, "this title has no source")
	case source != "" && blank:
		return nil, w.fault(node.Line, "this title has a source, and a blank book has none")
	case blank && name == "":
		return nil, w.fault(node.Line, "a blank book needs a name")
	}
	sources := []string{""}
	if source != "" {
		sources[0] = w.path(source)
	}
	if source != "" && t.Further == nil {
		sources, err = w.sources(t.line, source)
	}
	if err != nil {
		return nil, err
	}
	if len(sources) > 1 && (name != "" || place != "") {
		return nil, w.fault(t.line, "name and out are for one title, and %s means %d", source, len(sources))
	}
	if name != "" && !filepath.IsLocal(filepath.FromSlash(name)) {
		return nil, w.fault(t.line, "name %q leads out of the output folder", name)
	}
	for _, source := range sources {
		t.Source = source
		t.Name = cmp.Or(name, nameOf(w.folder, source))
		t.Place = placeOf(out, t.Name)
		if place != "" {
			t.Place = w.path(place)
		}
		titles = append(titles, t)
	}
	return titles, nil
}

// sources is the file, or what the pattern means. A file that does not exist
// fails when it is prepared, like one that cannot be read.
func (w worklist) sources(line int, value string) ([]string, error) {
	file := w.path(value)
	if _, err := os.Lstat(file); err == nil || !isPattern(value) {
		return []string{file}, nil
	}
	folder, pattern := w.folder, filepath.ToSlash(value)
	if filepath.IsAbs(value) {
		folder = filepath.VolumeName(value) + string(filepath.Separator)
		pattern = strings.TrimPrefix(filepath.ToSlash(strings.TrimPrefix(value, filepath.VolumeName(value))), "/")
	}
	found, err := w.search(folder, pattern)
	if err != nil {
		return nil, w.fault(line, "%w", err)
	}
	if len(found) == 0 {
		return nil, w.fault(line, "%s matches no PDF", value)
	}
	return found, nil
}

// refuseSetting tells the line of the setting that an error is about, else the title's.
func (w worklist) refuseSetting(line int, settings []written, err error) error {
	var one *SettingError
	if errors.As(err, &one) {
		for _, s := range settings {
			if s.Key == one.Key && s.line > 0 {
				line = s.line
			}
		}
	}
	return refuse(w.file, line, err)
}
