package profiles

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"foldwright/profiles/publish"
	"foldwright/profiles/strict"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// ErrExists says that a profile of this name exists and is not to be replaced.
var ErrExists = refusal.Output.New("a profile of this name exists already").Advise("choose another name, or write %s to replace it", phrase.Set("replace"))

// errPaperExists says the same of a paper.
var errPaperExists = refusal.Output.New("a paper of this name exists already").Advise("choose another name, or write %s to replace it", phrase.Set("replace"))

func refuseName(name, why string) error {
	return refusal.Use.New("%q cannot be a printer's name: %s", name, why)
}

// longestName is the longest name in bytes that every file system takes with
// the ending and what is put around it while it is written.
const longestName = 100

// reserved are the names that one operating system keeps for devices.
var reserved = []string{"con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
	"lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9"}

// checkName refuses names that could not be found again:
// with a path separator or the ending of a file, of a built-in profile, or
// such that some file system does not take them.
func checkName(name string) error {
	why := nameFault(name)
	if why == "" && slices.ContainsFunc(Builtin(), func(b string) bool { return strings.EqualFold(b, name) }) {
		why = "a built-in profile has it, and those cannot be replaced"
	}
	if why == "" {
		return nil
	}
	return refuseName(name, why)
}

// nameFault is why some file system, or this program, could not find a file by its name; empty if all can.
func nameFault(name string) (why string) {
	base, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == "":
		why = "it is empty"
	case len(name) > longestName:
		why = fmt.Sprintf("it is longer than %d bytes", longestName)
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		why = "it holds something that cannot be read"
	case strings.ContainsAny(name, `/\`):
		why = "with a path separator it would be read as a file"
	case strings.ContainsAny(name, `<>:"|?*`):
		why = `not every computer allows < > : " | ? *`
	case strings.HasSuffix(strings.ToLower(name), strict.Extension):
		why = "with " + strict.Extension + " at its end it would be read as a file"
	case strings.HasPrefix(name, ".") || strings.HasPrefix(name, "-") || strings.HasPrefix(name, " "):
		why = "it begins with a dot, a dash or a space"
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " "):
		why = "it ends in a dot or a space"
	case slices.Contains(reserved, base):
		why = "one operating system reserves it for a device"
	}
	return why
}

// path is the file of the user's profile of a name.
func (s Store) path(name string) string { return filepath.Join(s.Dir, name+strict.Extension) }

// CheckFree tells, before any question is asked, whether a profile may be saved
// under a name; where one has it already, the error is a [*fs.PathError] with [ErrExists].
func (s Store) CheckFree(name string, replace bool) error {
	if err := checkName(name); err != nil {
		return err
	}
	if s.Dir == "" {
		return refuseName(name, "there is no folder to keep it in")
	}
	return refuseTaken(s.path(name), replace, ErrExists)
}

// refuseTaken refuses a path at which something lies, unless that is replaced.
func refuseTaken(path string, replace bool, exists error) error {
	_, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err == nil && !replace:
		return &fs.PathError{Op: "write", Path: path, Err: exists}
	}
	return err
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
	return path, publish.WriteOver(path, data)
}

// Remove deletes the user's profile of a name. If it was the default printer,
// there is none afterwards, and cleared is true.
func (s Store) Remove(name string) (cleared bool, err error) {
	if err := checkName(name); err != nil {
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
		if err := checkName(name); err != nil {
			return err
		}
	}
	if _, err := s.Find(name); err != nil {
		return err
	}
	return publish.WriteOver(filepath.Join(s.Dir, defaultFile), []byte(name+"\n"))
}
