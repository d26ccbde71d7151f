package plan

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"foldwright/cmd/internal/options"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// refuse says why a folder's plan cannot be used.
func refuse(folder, format string, args ...any) error {
	return refusal.Plan.New("%s: %w", folder, fmt.Errorf(format, args...))
}

// Read reads and checks the plan in a folder.
func Read(folder string) (p Plan, err error) {
	data, err := planBytes(folder)
	if err != nil {
		return Plan{}, err
	}
	if err := json.Unmarshal(data, &p); err != nil {
		return Plan{}, damaged(folder, err)
	}
	if err := checkPlan(folder, p.Kind, p.Format); err != nil {
		return Plan{}, err
	}
	if err := p.Profile.Check(); err != nil {
		return Plan{}, refuse(folder, "%w", err)
	}
	if err := p.check(); err != nil {
		return Plan{}, damaged(folder, err)
	}
	return p, nil
}

func planBytes(folder string) ([]byte, error) {
	data, err := regular.Read(filepath.Join(folder, File), MostRecord)
	if err != nil {
		if info, e := os.Stat(folder); e == nil && !info.IsDir() {
			return nil, noFolder(folder)
		}
		return nil, refuse(folder, "holds no plan that can be read: %w", err)
	}
	return data, nil
}

func damaged(folder string, err error) error {
	return refuse(folder, "%s is damaged: %w", File, err)
}

func checkPlan(folder, kind string, format int) error {
	if kind != PlanKind {
		return refuse(folder, "%s is not a plan of this program", File)
	}
	if format != Format {
		return refuse(folder, "%s has format %d, this program reads format %d", File, format, Format)
	}
	return nil
}

// Files names the files of a job in its folder, the plan last; none where there
// is no plan of this program. Damaged counts don't make it another's.
func Files(dir string) []string {
	plan, err := readMade(dir)
	if err != nil {
		return nil
	}
	return Named(plan.Files, File)
}

// Named is the names of the files that a record tells of, and its own.
func Named(files []Entry, record string) []string {
	var names []string
	for _, f := range files {
		names = append(names, f.Name)
	}
	return append(names, record)
}

// Ours tells whether a folder was written by this program, whatever it holds:
// a job, a test sheet, and in whatever format. It reads only the beginning of its record.
func Ours(dir string) bool {
	f, err := regular.Open(filepath.Join(dir, File))
	if err != nil {
		return false
	}
	defer f.Close()
	d := json.NewDecoder(f)
	for _, want := range []json.Token{json.Delim('{'), "kind"} {
		if t, err := d.Token(); err != nil || t != want {
			return false
		}
	}
	kind, err := d.Token()
	text, ok := kind.(string)
	return err == nil && ok && strings.HasPrefix(text, "foldwright ")
}

// Made is what a plan says of how its folder was made, and of what it takes.
type Made struct {
	Kind           string
	Format         int
	ProgramVersion string
	Source         Source
	Request        string
	Paper          Paper
	Sheets         int
	Profile        struct{ Name string }
	Warnings       []string
	Files          []Entry
}

// ReadMade reads that much of the plan in a folder, which stands at its
// beginning and is far less than all of it.
func ReadMade(folder string) (Made, error) {
	m, err := readMade(folder)
	if err == nil && (!counts(m.Sheets) || m.Source.Pages < 0 || m.Source.Pages > mostCount) {
		err = damaged(folder, fmt.Errorf("it counts %d sheets and %d pages", m.Sheets, m.Source.Pages))
	}
	if err != nil {
		return Made{}, err
	}
	return m, nil
}

// readMade is ReadMade of a plan whose counts may be damaged.
func readMade(folder string) (Made, error) {
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
// different is the error. Files that the plan does not name don't matter.
func (m Made) Whole(folder string, thorough bool) error {
	for _, f := range m.Files {
		path := filepath.Join(folder, f.Name)
		info, err := os.Lstat(path)
		switch {
		case err != nil:
			return fmt.Errorf("%s is missing", f.Name)
		case !info.Mode().IsRegular() || info.Size() != f.Bytes:
			return fmt.Errorf("%s has another size than when it was written", f.Name)
		}
		if !thorough {
			continue
		}
		sum, err := FileSHA256(path)
		if err != nil {
			return err
		}
		if sum != f.SHA256 {
			return fmt.Errorf("%s has other bytes than when it was written", f.Name)
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

// OutputFolder is where a title's job is written unless somebody says
// otherwise: NAME-print in the current folder.
func OutputFolder(source string) string {
	base := filepath.Base(source)
	if ext := filepath.Ext(base); len(ext) < len(base) {
		base = base[:len(base)-len(ext)]
	}
	return base + "-print"
}

func PageRanges(rising []int) (out options.Pages) {
	for _, n := range rising {
		if last := len(out) - 1; last >= 0 && out[last].Last == n-1 {
			out[last].Last = n
			continue
		}
		out = append(out, options.PageRange{First: n, Last: n})
	}
	return out
}

// Ranges writes rising numbers shortly. What would be too long for the name of
// a file is told by its ends.
func Ranges(numbers []int) string {
	const most = 40
	if text := PageRanges(numbers).String(); len(text) <= most {
		return text
	}
	return fmt.Sprintf("%d-to-%d", numbers[0], numbers[len(numbers)-1])
}
