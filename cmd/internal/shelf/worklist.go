package shelf

import (
	_ "embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/profiles"

	"foldwright/profiles/regular"
	"foldwright/profiles/strict"
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
func ReadWorklist(file, out string, settings []Setting, r Reader) (Shelf, error) {
	data, err := regular.Read(file, mostWorklist)
	if err != nil {
		return Shelf{}, err
	}
	w := worklist{file: file, folder: filepath.Dir(file), given: settings, reader: r, search: search}
	return w.shelf(data, out)
}

// shelf is what the text of a worklist means.
func (w worklist) shelf(data []byte, out string) (Shelf, error) {
	root, err := w.document(data)
	if err != nil {
		return Shelf{}, err
	}
	s := Shelf{Name: filepath.Base(w.file), file: w.file}
	s.Out, err = w.output(root, out)
	if err != nil {
		return Shelf{}, err
	}
	s.Titles, err = w.titles(root, s.Out)
	if err != nil {
		return Shelf{}, err
	}
	return s, s.check()
}

// worklist is a file while it is being read.
type worklist struct {
	file     string
	folder   string // its folder
	given    []Setting
	reader   Reader
	defaults []Setting
	search   func(folder, pattern string) ([]string, error)
}

func (w worklist) fault(line int, format string, args ...any) error {
	return refuse(w.file, line, fmt.Errorf(format, args...))
}

// mapping is a YAML mapping by its keys.
type mapping struct {
	line   int
	keys   []*yaml.Node
	values map[string]*yaml.Node
}

func (w worklist) document(data []byte) (mapping, error) {
	root, line, err := strict.Document(data)
	if err != nil {
		return mapping{}, w.fault(line, "%w", err)
	}
	top, err := w.mapping(root, topKeys)
	if err != nil {
		return top, err
	}
	if f := top.values["format"]; f == nil || f.Value != strconv.Itoa(worklistFormat) {
		return top, w.fault(top.line, "a worklist has to begin with format: %d", worklistFormat)
	}
	return top, nil
}

// mapping refuses keys that are not known or stand twice.
func (w worklist) mapping(node *yaml.Node, known []string) (mapping, error) {
	if node.Kind == yaml.AliasNode {
		node = node.Alias
	}
	if node.Kind != yaml.MappingNode {
		return mapping{}, w.fault(node.Line, "a list of keys and values is wanted here")
	}
	m := mapping{node.Line, nil, map[string]*yaml.Node{}}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		if !slices.Contains(known, key.Value) {
			return m, w.unknownKey(key, known)
		}
		if m.values[key.Value] != nil {
			return m, w.fault(key.Line, "key %q stands twice", key.Value)
		}
		if value.Kind == yaml.AliasNode {
			value = value.Alias
		}
		m.keys = append(m.keys, key)
		m.values[key.Value] = value
	}
	return m, nil
}

// unknownKey says what a key that is refused was likely meant to be.
func (w worklist) unknownKey(key *yaml.Node, known []string) error {
	near := strict.Nearest(key.Value, known)
	switch {
	case slices.Contains(titleKeys, key.Value):
		return w.fault(key.Line, "key %q belongs to a title", key.Value)
	case slices.Contains(w.optionKeys(), key.Value):
		return w.fault(key.Line, "key %q belongs to a title or to the defaults", key.Value)
	case near != "":
		return w.fault(key.Line, "key %q is not known, did you mean %q?", key.Value, near)
	}
	return w.fault(key.Line, "key %q is not known, known keys are %s", key.Value, strings.Join(known, ", "))
}

func (w worklist) output(root mapping, out string) (string, error) {
	node := root.values["out"]
	switch {
	case out != "":
		return out, nil
	case node == nil:
		return ".", nil
	}
	value, err := w.scalar("out", node)
	return w.path(value), err
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

func (w worklist) optionKeys() []string { return append(w.reader.Keys(), PasswordKey, ProofKey) }

func (w worklist) titles(root mapping, out string) ([]Title, error) {
	if node := root.values["defaults"]; node != nil {
		m, err := w.mapping(node, w.optionKeys())
		if err != nil {
			return nil, err
		}
		if w.defaults, err = w.settings(m, nil); err != nil {
			return nil, err
		}
	}
	list := root.values["titles"]
	switch {
	case list == nil:
		return nil, w.fault(root.line, "the worklist has no titles")
	case list.Kind != yaml.SequenceNode:
		return nil, w.fault(list.Line, "titles has to be a list, each with a dash before it")
	case len(list.Content) == 0:
		return nil, w.fault(list.Line, "the list of titles is empty")
	}
	var titles []Title
	for _, node := range list.Content {
		some, err := w.entry(node, out)
		if err != nil {
			return nil, err
		}
		titles = append(titles, some...)
	}
	return titles, nil
}

// entry reads one entry of the list, which can stand for several titles.
func (w worklist) entry(node *yaml.Node, out string) ([]Title, error) {
	if node.Kind == yaml.ScalarNode {
		key := &yaml.Node{Kind: yaml.ScalarNode, Value: "source", Line: node.Line}
		node = &yaml.Node{Kind: yaml.MappingNode, Line: node.Line, Content: []*yaml.Node{key, node}}
	}
	m, err := w.mapping(node, append(slices.Clone(titleKeys), w.optionKeys()...))
	if err != nil {
		return nil, err
	}
	own := map[string]string{}
	for _, key := range titleKeys {
		if value := m.values[key]; value != nil {
			if own[key], err = w.scalar(key, value); err != nil {
				return nil, err
			}
		}
	}
	if own["source"] == "" {
		return nil, w.fault(m.line, "this title has no source")
	}
	t := Title{line: m.line, Name: own["name"]}
	settings, err := w.settings(m, w.defaults)
	if err != nil {
		return nil, err
	}
	settings = overlay(settings, w.given)
	if err := t.set(settings); err != nil {
		return nil, w.refuseSetting(m.line, settings, err)
	}
	options, err := w.reader.Read(t.Settings)
	if err != nil {
		return nil, w.refuseSetting(m.line, settings, err)
	}
	t.Options = &options
	sources, err := w.sources(m.line, own["source"])
	if err != nil {
		return nil, err
	}
	if len(sources) > 1 && (own["name"] != "" || own["out"] != "") {
		return nil, w.fault(m.line, "name and out are for one title, and %s means %d", own["source"], len(sources))
	}
	if own["name"] != "" && !filepath.IsLocal(filepath.FromSlash(own["name"])) {
		return nil, w.fault(m.line, "name %q leads out of the output folder", own["name"])
	}
	var titles []Title
	for _, source := range sources {
		one := t
		one.Source = source
		if one.Name == "" {
			one.Name = nameOf(w.folder, source)
		}
		one.Place = placeOf(out, one.Name)
		if own["out"] != "" {
			one.Place = w.path(own["out"])
		}
		titles = append(titles, one)
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

// settings lays the options of a mapping over others. One that is null takes
// back a default.
func (w worklist) settings(m mapping, lower []Setting) ([]Setting, error) {
	out := slices.Clone(lower)
	for _, key := range m.keys {
		if slices.Contains(titleKeys, key.Value) {
			continue
		}
		out = dropSetting(out, key.Value)
		node := m.values[key.Value]
		if node.Tag == "!!null" {
			continue
		}
		value, err := w.value(key.Value, node)
		if err != nil {
			return nil, err
		}
		out = append(out, Setting{key.Value, value, key.Line})
	}
	return out, nil
}

// value is an option as it stands after its flag; a list is written with commas.
func (w worklist) value(key string, node *yaml.Node) (string, error) {
	items := []*yaml.Node{node}
	if node.Kind == yaml.SequenceNode && len(node.Content) > 0 {
		items = node.Content
	}
	var words []string
	for _, item := range items {
		word, err := w.scalar(key, item)
		if err != nil {
			return "", err
		}
		words = append(words, word)
	}
	value := strings.Join(words, ",")
	if key == PasswordKey || key == "printer" && profiles.IsFile(value) || key == "structure" && structure.IsFile(value) {
		return w.path(value), nil
	}
	return value, nil
}

// refuseSetting tells the line of the setting that an error is about, else the title's.
func (w worklist) refuseSetting(line int, settings []Setting, err error) error {
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
