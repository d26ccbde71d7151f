package profiles

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"
	"unicode/utf8"

	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
	"foldwright/profiles/strict"
	"foldwright/reorder"
	"foldwright/reorder/enum"
	"foldwright/reorder/refusal"
)

// Paper is a paper of one's own: what is known of the sheets of one packet.
type Paper struct {
	Format int    `yaml:"format" json:"format"`
	Name   string `yaml:"name" json:"name"`
	// Size is that of the sheets, as reorder.ParsePaper takes it.
	Size string `yaml:"size" json:"size"`
	// Caliper is the measured thickness of one leaf in mm, 0 if nobody has measured it.
	Caliper float64 `yaml:"caliper,omitempty" json:"caliper-mm,omitzero"`
	// Grain is the edge of the sheet along which its fibres lie, 0 if unknown.
	Grain Grain `yaml:"grain,omitempty" json:"grain,omitzero"`
	// Tray is where it lies, as the printer names its trays.
	Tray string `yaml:"tray,omitempty" json:"tray,omitempty"`
	Note string `yaml:"note,omitempty" json:"note,omitempty"`
}

// Grain is the edge of a sheet along which its grain runs.
type Grain = enum.Value[grainWords]

const (
	GrainLong  Grain = iota + 1 // the long edge
	GrainShort                  // the short edge
)

type grainWords struct{}

func (grainWords) Words() enum.Words { return enum.New("grain", "long", "short") }

// Leaves between these bounds, in mm, can be folded and sewn.
const (
	ThinnestLeaf = 0.02
	ThickestLeaf = 1.0
)

// Stock is the size of the paper with its standard name.
func (p Paper) Stock() (reorder.Paper, error) { return reorder.ParsePaper(p.Size) }

func (p Paper) check() error {
	if p.Format != Format {
		return refusal.Plan.New("format must be 1")
	}
	if err := checkPaperName(p.Name); err != nil {
		return err
	}
	if p.Size == "" {
		return refusal.Plan.New("the size is missing")
	}
	if _, err := p.Stock(); err != nil {
		return err
	}
	if c := p.Caliper; c != 0 && !(c >= ThinnestLeaf && c <= ThickestLeaf) {
		return refusal.Plan.New("caliper must be the thickness of one leaf in mm, between %g and %g", ThinnestLeaf, ThickestLeaf).
			Advise("measure 40 leaves under light pressure and divide by 40")
	}
	for _, text := range []string{p.Tray, p.Note} {
		if !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }) {
			return refusal.Plan.New("the tray or the note holds letters that cannot be read")
		}
	}
	return nil
}

// checkPaperName refuses names under which a paper could not be found again: what
// [checkName] refuses of printers, and what is a size already.
func checkPaperName(name string) error {
	why := nameFault(name)
	_, err := reorder.ParsePaper(name)
	switch {
	case why != "":
	case err == nil || strings.EqualFold(name, "b5"):
		why = "it is the name of a size"
	case strings.Contains(name, ","):
		why = "with a comma it would be read as two papers"
	}
	if why == "" {
		return nil
	}
	return refusal.Use.New("%q cannot be a paper's name: %s", name, why)
}

// papersFolder is where papers are kept, beside the profiles of printers.
const papersFolder = "papers"

func (s Store) paperPath(name string) string {
	return filepath.Join(s.Dir, papersFolder, name+strict.Extension)
}

// LookUpPaper reads the paper of a name, or in a file if the value holds a path separator or ends
// in .yaml. ok is false where no paper has the name.
func (s Store) LookUpPaper(value string) (p Paper, ok bool, err error) {
	if strict.IsFile(value) {
		p, err = readPaper(value)
		return p, err == nil, err
	}
	if s.Dir == "" || checkPaperName(value) != nil {
		return Paper{}, false, nil
	}
	p, err = readPaper(s.paperPath(value))
	if errors.Is(err, fs.ErrNotExist) {
		return Paper{}, false, nil
	}
	return p, err == nil, err
}

// FindPaper is [Store.LookUpPaper] that refuses a name that no paper has.
func (s Store) FindPaper(value string) (Paper, error) {
	p, ok, err := s.LookUpPaper(value)
	if err != nil || ok {
		return p, err
	}
	names, err := s.Papers()
	if err != nil {
		return Paper{}, err
	}
	refused := refusal.Plan.New("no paper of yours is called %q", value)
	if len(names) == 0 {
		return Paper{}, refused.Advise("you have kept none yet")
	}
	return Paper{}, refused.Advise("yours are %s", strings.Join(names, ", "))
}

func readPaper(path string) (Paper, error) {
	data, err := readRegular(path)
	if err != nil {
		return Paper{}, refusePaper(path, 0, err)
	}
	return ParsePaper(data, path)
}

// readRegular is the bytes of a file; its error does not name the path.
func readRegular(path string) ([]byte, error) {
	data, err := regular.Read(path, mostBytes)
	var plain *fs.PathError
	if errors.As(err, &plain) {
		err = plain.Err
	}
	return data, err
}

// ParsePaper reads one paper. source names it in errors.
func ParsePaper(data []byte, source string) (p Paper, err error) {
	line, err := strict.Decode(data, &p)
	if err == nil {
		line, err = 0, p.check()
	}
	if err != nil {
		return Paper{}, refusePaper(source, line, err)
	}
	return p, nil
}

func refusePaper(source string, line int, err error) error {
	return refusal.Plan.New("paper %s: %w", strict.At(source, line), err)
}

// Papers is the names of all papers of one's own, sorted.
func (s Store) Papers() (names []string, err error) {
	if s.Dir == "" {
		return nil, nil
	}
	return namesIn(filepath.Join(s.Dir, papersFolder))
}

// SavePaper checks a paper and writes it to the file of its name, as [Store.Save] does.
func (s Store) SavePaper(p Paper, replace bool) (path string, err error) {
	p.Format = Format
	if err := p.check(); err != nil {
		return "", err
	}
	if s.Dir == "" {
		return "", refusal.Output.New("there is no folder to keep papers in")
	}
	path = s.paperPath(p.Name)
	if err := refuseTaken(path, replace, errPaperExists); err != nil {
		return "", err
	}
	data, err := p.YAML()
	if err != nil {
		return "", err
	}
	return path, publish.WriteOver(path, data)
}

// RemovePaper deletes the paper of a name. Jobs that were prepared for it keep what they know of it.
func (s Store) RemovePaper(name string) error {
	if err := checkPaperName(name); err != nil {
		return err
	}
	err := os.Remove(s.paperPath(name))
	if errors.Is(err, fs.ErrNotExist) {
		_, err = s.FindPaper(name)
	}
	return err
}

// aboutPaper says beside each key what may stand there.
var aboutPaper = map[string]string{
	"size":    "a4, letter, or width x height such as 320x450mm",
	"caliper": "measured thickness of one leaf, in mm: of 40 leaves, divided by 40",
	"grain":   "the edge along which the grain runs: long, short",
	"tray":    "where it lies, as the printer names its trays",
}

// YAML is the paper as a file that a person can read and change.
func (p Paper) YAML() ([]byte, error) {
	const head = "# What is known of one paper. Books that were prepared for it do not change with this file.\n"
	data, err := writeYAML(p, head, nil, func(key string) string { return aboutPaper[key] })
	if err != nil {
		return nil, refusePaper(p.Name, 0, err)
	}
	return data, nil
}
