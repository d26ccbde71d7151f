package job

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"sync"

	"foldwright/profiles"
	"foldwright/profiles/regular"
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// Asked is the digest of what a folder follows from besides its source: the
// options, full copies of the printer's profile and of the structure that was
// asked for, and the program's version.
type Asked [sha256.Size]byte

// Ask works it out without opening a source. Its errors are those of
// [NewDraft] about options and profiles.
func Ask(o Options, set Setting) (Asked, error) {
	if err := o.Check(); err != nil {
		return Asked{}, err
	}
	profile, err := set.Profiles.Find(o.Printer)
	if err != nil {
		return Asked{}, err
	}
	_, paper, _, err := o.resolved(profile, set.Region)
	if err != nil {
		return Asked{}, err
	}
	rules, err := o.rules()
	if err != nil {
		return Asked{}, err
	}
	return ask(o, profile, rules, paper, set)
}

func ask(o Options, profile profiles.Profile, rules binding.Structure, paper reorder.Paper, set Setting) (Asked, error) {
	known, err := json.Marshal(struct {
		Profile   profiles.Profile  `json:"profile"`
		Structure binding.Structure `json:"structure,omitzero"`
	}{profile, rules})
	if err != nil {
		return Asked{}, err
	}
	// The options as given, in Go's own syntax: whether one was given is seen
	// too, for what was assumed is said on the run sheet.
	return sha256.Sum256(fmt.Appendf(nil, "%s\n%#v\n%s\n%s\n%t\n", set.Version, o, paper.Name, known, set.Proof)), nil
}

// Of is the request for a source of this name, in lower case hexadecimal
// digits. It stands in the folder's plan, so that a shelf can tell without
// opening a source whether a folder is what would be written again.
func (a Asked) Of(source string) string {
	sum := sha256.Sum256(append(a[:], filepath.Base(source)...))
	return hex.EncodeToString(sum[:])
}

// Made is what a plan says of how its folder was made, and of what it takes.
type Made struct {
	Kind           string
	Format         int
	ProgramVersion string
	Source         PlanSource
	Request        string
	Paper          PlanPaper
	Sheets         int
	Profile        struct{ Name string }
	Warnings       []string
	Files          []PlanFileEntry
}

// ReadMade reads that much of the plan in a folder, which stands at its
// beginning and is far less than all of it. Its errors are a [*PlanError].
func ReadMade(folder string) (Made, error) {
	data, err := planBytes(folder)
	if err != nil {
		return Made{}, err
	}
	var m Made
	if err := m.read(data); err != nil {
		return Made{}, damaged(folder, err)
	}
	return m, checkPlan(folder, m.Kind, m.Format)
}

// read takes the fields from the text of a plan and leaves the rest unread, but
// for its end.
func (m *Made) read(text []byte) error {
	wanted := map[string]any{
		"kind": &m.Kind, "format": &m.Format, "program_version": &m.ProgramVersion, "source": &m.Source, "request_sha256": &m.Request,
		"paper": &m.Paper, "sheets": &m.Sheets, "profile": &m.Profile, "warnings": &m.Warnings, "files": &m.Files,
	}
	if !bytes.HasSuffix(bytes.TrimSpace(text), []byte("}")) {
		return io.ErrUnexpectedEOF
	}
	d := json.NewDecoder(bytes.NewReader(text))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return cmp.Or(err, errors.New("it is no object"))
	}
	for len(wanted) > 0 && d.More() {
		key, err := d.Token()
		if err != nil {
			return err
		}
		name, _ := key.(string)
		into, ok := wanted[name]
		if !ok {
			into = new(json.RawMessage)
		}
		if err := d.Decode(into); err != nil {
			return err
		}
		delete(wanted, name)
	}
	return nil
}

// Whole tells whether the folder has all files of its plan, by name and size;
// if thorough is set their bytes are read and compared too. What is missing or
// different is a [*PlanError]. Files that the plan does not name don't matter.
func (m Made) Whole(folder string, thorough bool) error {
	for _, f := range m.Files {
		path := filepath.Join(folder, f.Name)
		info, err := os.Lstat(path)
		switch {
		case err != nil:
			return &PlanError{folder, fmt.Errorf("%s is missing", f.Name)}
		case !info.Mode().IsRegular() || info.Size() != f.Bytes:
			return &PlanError{folder, fmt.Errorf("%s has another size than when it was written", f.Name)}
		}
		if !thorough {
			continue
		}
		sum, err := FileSHA256(path)
		if err != nil {
			return &PlanError{folder, err}
		}
		if sum != f.SHA256 {
			return &PlanError{folder, fmt.Errorf("%s has other bytes than when it was written", f.Name)}
		}
	}
	return nil
}

// buffers are what files are summed up through: on a shelf of small files a new
// one for each would cost as much as the sums.
var buffers = sync.Pool{New: func() any { return new(make([]byte, 64<<10)) }}

// FileSHA256 is the digest of a file in lower case hexadecimal digits.
func FileSHA256(path string) (sum string, err error) {
	f, err := regular.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	buffer := buffers.Get().(*[]byte)
	defer buffers.Put(buffer)
	if _, err := io.CopyBuffer(h, struct{ io.Reader }{f}, *buffer); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
