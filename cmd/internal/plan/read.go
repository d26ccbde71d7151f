package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"foldwright/cmd/internal/options"
	"foldwright/profiles/regular"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// refuse says why a folder's plan cannot be used.
func refuse(folder, format string, args ...any) error {
	return refusal.Plan.New("%s: %w", folder, fmt.Errorf(format, args...))
}

// Read reads and checks the plan in a folder.
func Read(folder string) (p Plan, err error) {
	if err := readPlan(folder, &p, &p.Record); err != nil {
		return Plan{}, err
	}
	if err := p.Profile.Check(); err != nil {
		return Plan{}, refuse(folder, "%w", err)
	}
	if err := p.check(); err != nil {
		return Plan{}, refuseDamaged(folder, err)
	}
	return p, nil
}

// Brief is what a shelf asks of the plans of all its titles.
type Brief struct {
	Made
	Profile struct{ Name string }
	Inserts []Insert
}

// ReadBrief reads that much of the plan in a folder.
func ReadBrief(folder string) (b Brief, err error) {
	err = readPlan(folder, &b, &b.Record)
	if err == nil && (!isCount(b.Sheets) || b.Source.check() != nil) {
		err = refuseDamaged(folder, fmt.Errorf("it counts %d sheets and %d pages", b.Sheets, b.Source.Pages))
	}
	if err != nil {
		return Brief{}, err
	}
	return b, nil
}

// readPlan reads what into has of the plan in a folder; record is its beginning.
func readPlan(folder string, into any, record *Record) error {
	data, err := regular.Read(filepath.Join(folder, File), MostRecord)
	if err != nil {
		if info, e := os.Stat(folder); e == nil && !info.IsDir() {
			what := "file"
			if isPDF(folder) {
				what = "PDF"
			}
			return refusal.Plan.New("%s: is a %s, not the folder of a job", folder, what).Advise("%s", likelyFolder(folder))
		}
		return refuse(folder, "has no plan that can be read: %w", err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		return refuseDamaged(folder, err)
	}
	if record.Kind != Kind {
		return refuse(folder, "%s is not a plan of this program", File)
	}
	if record.Format != Format {
		return refuse(folder, "%s has format %d, this program reads format %d", File, record.Format, Format)
	}
	return nil
}

// MostRecord is several times the bytes of the plan of a book of a million pages,
// and of any other record of ours.
const MostRecord = 64 << 20

func refuseDamaged(folder string, err error) error {
	return refuse(folder, "%s is damaged: %w", File, err)
}

// Files names the files of a job in its folder, the plan last; none where there
// is no plan of this program. Damaged counts don't make it another's.
func Files(dir string) []string { return FilesOf(dir, File, Kind) }

// FilesOf names the files that a record of a kind tells of, and its own.
func FilesOf(dir, file, kind string) []string {
	data, err := regular.Read(filepath.Join(dir, file), MostRecord)
	if err != nil {
		return nil
	}
	var r Record
	if json.Unmarshal(data, &r) != nil || r.Kind != kind || r.Format != Format {
		return nil
	}
	return r.Named(file)
}

// Named is the names of the files that a record tells of, and its own. A record may come from anywhere: a name
// that leads out of its folder is none.
func (r Record) Named(file string) []string {
	names := lists.Map(r.Files, func(f Entry) string { return f.Name })
	return append(slices.DeleteFunc(names, func(name string) bool { return !filepath.IsLocal(filepath.FromSlash(name)) }), file)
}

// IsOurs tells whether a folder was written by this program, whatever it holds:
// a job, a test sheet, and in whatever format. It reads only the beginning of its record.
func IsOurs(dir string) bool {
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

// CheckFiles tells whether the folder has all files of its plan, by name and size;
// if thorough is set their bytes are read and compared too. What is missing or
// different is the error. Files that the plan does not name don't matter.
func (r Record) CheckFiles(folder string, thorough bool) error {
	for _, f := range r.Files {
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

// EntryOf is the entry of a file that lies in a folder.
func EntryOf(folder, name string) (Entry, error) {
	path := filepath.Join(folder, name)
	info, err := os.Stat(path)
	if err != nil {
		return Entry{}, err
	}
	sum, err := FileSHA256(path)
	return Entry{Name: name, SHA256: sum, Bytes: info.Size()}, err
}

// FileSHA256 is the digest of a file in lower case hexadecimal digits.
func FileSHA256(path string) (sum string, err error) {
	f, err := regular.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
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
