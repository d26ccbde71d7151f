package profiles

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"foldwright/profiles/lock"
	"foldwright/profiles/strict"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// ErrExists says that a profile of this name exists and is not to be replaced.
var ErrExists = refusal.Output.New("a profile of this name exists already").Advise("choose another name, or write %s to replace it", phrase.Set("replace"))

// refuseName says why a profile cannot have a name.
func refuseName(name, why string) error {
	return refusal.Use.New("%q is no name for a printer: %s", name, why)
}

// longestName is the longest name in bytes that every file system takes with
// the ending and what is put around it while it is written.
const longestName = 100

// reserved are the names that one operating system keeps for devices.
var reserved = []string{"con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
	"lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9"}

// CheckName refuses names that could not be found again:
// with a path separator or the ending of a file, of a built-in profile, or
// such that some file system does not take them.
func CheckName(name string) error {
	why := ""
	base, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == "":
		why = "it is empty"
	case len(name) > longestName:
		why = fmt.Sprintf("it is longer than %d bytes", longestName)
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		why = "it holds something that is no letter"
	case strings.ContainsAny(name, `/\`):
		why = "it holds a path separator, which would make a file of it"
	case strings.ContainsAny(name, `<>:"|?*`):
		why = `it holds one of < > : " | ? *, which not every computer takes`
	case strings.HasSuffix(strings.ToLower(name), strict.Extension):
		why = "it ends in " + strict.Extension + ", which would make a file of it"
	case strings.HasPrefix(name, ".") || strings.HasPrefix(name, "-") || strings.HasPrefix(name, " "):
		why = "it begins with a dot, a dash or a space"
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " "):
		why = "it ends in a dot or a space"
	case slices.Contains(reserved, base):
		why = "one operating system keeps it for a device"
	case slices.ContainsFunc(Builtin(), func(b string) bool { return strings.EqualFold(b, name) }):
		why = "a built-in profile has it, and these cannot be replaced"
	}
	if why == "" {
		return nil
	}
	return refuseName(name, why)
}

// path is the file of the user's profile of a name.
func (s Store) path(name string) string { return filepath.Join(s.Dir, name+strict.Extension) }

// CheckFree tells, before any question is asked, whether a profile may be saved
// under a name; where one has it already, the error is a [*fs.PathError] with [ErrExists].
func (s Store) CheckFree(name string, replace bool) error {
	if err := CheckName(name); err != nil {
		return err
	}
	if s.Dir == "" {
		return refuseName(name, "there is no folder to keep it in")
	}
	switch _, err := os.Lstat(s.path(name)); {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !replace:
		return &fs.PathError{Op: "write", Path: s.path(name), Err: ErrExists}
	}
	return nil
}

// Save checks a profile and writes it, readable by people, to the file of its
// name. A crash leaves the old file or the new one. It refuses what [Store.CheckFree]
// refuses, and a profile that cannot be.
func (s Store) Save(p Profile, replace bool) (path string, err error) {
	if err := s.CheckFree(p.Name, replace); err != nil {
		return "", err
	}
	p.Format = Format
	path = s.path(p.Name)
	data, err := p.YAML()
	if err != nil {
		return "", err
	}
	if _, err := Parse(data, path); err != nil {
		return "", err
	}
	return path, writeFile(path, data)
}

// Remove deletes the user's profile of a name. If it was the default printer,
// there is none afterwards, and cleared is true.
func (s Store) Remove(name string) (cleared bool, err error) {
	if err := CheckName(name); err != nil {
		return false, err
	}
	fallback, err := s.Default()
	if err != nil {
		return false, err
	}
	if err := os.Remove(s.path(name)); err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			return false, err
		}
		return false, s.refuseUnknown(name)
	}
	if fallback != name {
		return false, nil
	}
	return true, os.Remove(filepath.Join(s.Dir, defaultFile))
}

// SetDefault makes the profile of a name the user's default printer. A
// file's name is refused.
func (s Store) SetDefault(name string) error {
	if !slices.Contains(Builtin(), name) {
		if err := CheckName(name); err != nil {
			return err
		}
	}
	if _, err := s.Find(name); err != nil {
		return err
	}
	return writeFile(filepath.Join(s.Dir, defaultFile), []byte(name+"\n"))
}

// writeFile puts data into a file at once: written beside it, on the disk for
// certain, and renamed.
func writeFile(path string, data []byte) (err error) {
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	held, err := lockFolder(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, held.Release()) }()
	if err := removeLeft(dir); err != nil {
		return err
	}
	// Not a temporary file: all may read it whom the user lets read new files.
	f, err := os.OpenFile(filepath.Join(dir, "."+filepath.Base(path)+".0.part"), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, removeIfThere(f.Name()))
		}
	}()
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync())
	if err = errors.Join(err, f.Close()); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return err
	}
	syncFolder(dir)
	return nil
}

// lockName is the lock of a folder of profiles while one of its files is written.
const lockName = ".foldwright.lock"

// ErrBusy says that another run is at work in the folder and does not end.
var ErrBusy = errors.New("is being written by another run at this moment")

// lockFolder waits for another run, which takes no longer than a file takes.
func lockFolder(dir string) (*lock.Lock, error) {
	const patience = 10 * time.Second
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		l, err := lock.Acquire(filepath.Join(dir, lockName))
		switch {
		case !errors.Is(err, lock.ErrHeld):
			return l, err
		case time.Now().After(end):
			return nil, &fs.PathError{Op: "write", Path: dir, Err: ErrBusy}
		}
	}
}

// half is how the names of files are made that writeFile has not yet renamed.
var half = regexp.MustCompile(`^\.(.+\.yaml|` + defaultFile + `)\.[0-9]+\.part$`)

// removeLeft removes what runs have left that were killed while they wrote.
// The folder has to be locked: then nobody is writing.
func removeLeft(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if e.Type().IsRegular() && half.MatchString(e.Name()) {
			if err := removeIfThere(filepath.Join(dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}

func removeIfThere(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// syncFolder makes the rename last through a power cut where the system can
// do so; elsewhere it is as lasting as the system makes it.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
