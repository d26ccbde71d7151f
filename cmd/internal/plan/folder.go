package plan

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/profiles/lock"
	"foldwright/profiles/regular"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

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

// PrintingLock is the name of the file that is locked in a job's folder while the job is being printed.
const PrintingLock = ".printing.lock"

// CheckIdle refuses a folder whose job is being printed: its files must stay what they are.
func CheckIdle(folder string) error {
	path := filepath.Join(folder, PrintingLock)
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	held, err := lock.Acquire(path)
	if errors.Is(err, lock.ErrHeld) {
		return refusal.Output.New("%s is being printed at this moment", folder).Advise("wait until it is printed, or stop printing first")
	}
	if err != nil {
		return err
	}
	return held.Release()
}
