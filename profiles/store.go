package profiles

import (
	"embed"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"foldwright/profiles/regular"
	"foldwright/profiles/strict"
	"foldwright/reorder/refusal"
)

//go:embed builtin/*.yaml
var builtin embed.FS

// Guess is the built-in profile that is taken where nothing is known of the
// printer: the usual case, which is a guess.
const Guess = "by-hand-short"

// Environment is the variable that names the folder of profiles.
const Environment = "FOLDWRIGHT_PROFILES"

// mostBytes is far more than a profile needs.
const mostBytes = 1_000_000

// defaultFile holds the name of the user's default printer.
const defaultFile = "default-printer"

// Store is a folder of profiles, and the built-in ones beside it.
type Store struct{ Dir string }

// Open is the store in dir; if that is empty, in the folder that the variable
// FOLDWRIGHT_PROFILES names; else in foldwright/printers in the user's
// configuration folder. A folder that does not exist is an empty store.
func Open(dir string) Store {
	if dir == "" {
		dir = os.Getenv(Environment)
	}
	if dir == "" {
		if config, err := os.UserConfigDir(); err == nil {
			dir = filepath.Join(config, "foldwright", "printers")
		}
	}
	return Store{dir}
}

// Find reads the profile of a name, or in a file if the value holds a path
// separator or ends in .yaml. An empty value is the user's default printer,
// or the guess if there is none. Built-in profiles cannot be shadowed.
func (s Store) Find(value string) (Profile, error) {
	if value == "" {
		name, err := s.Default()
		if err != nil {
			return Profile{}, err
		}
		value = name
	}
	if !utf8.ValidString(value) {
		return Profile{}, refuseName(value, "it is not in UTF-8")
	}
	if strict.IsFile(value) {
		return readFile(value)
	}
	if data, err := builtin.ReadFile("builtin/" + value + strict.Extension); err == nil {
		return Parse(data, value)
	}
	if s.Dir != "" {
		p, err := readFile(s.path(value))
		if !errors.Is(err, fs.ErrNotExist) {
			return p, err
		}
	}
	return Profile{}, s.refuseUnknown(value)
}

// refuseUnknown refuses a name that no profile has, and names the profiles there are.
func (s Store) refuseUnknown(name string) error {
	known, err := s.Names()
	if err != nil {
		return err
	}
	return refusal.Plan.New("no printer profile is called %q", name).
		Advise("the profiles are %s; a path, or a name that ends in .yaml, is read as a file", strings.Join(known, ", "))
}

func readFile(path string) (Profile, error) {
	data, err := readRegular(path)
	if err != nil {
		return Profile{}, refuse(path, 0, err)
	}
	return Parse(data, path)
}

// Default is the name of the user's default printer, or of the guess.
func (s Store) Default() (string, error) {
	if s.Dir != "" {
		data, err := regular.Read(filepath.Join(s.Dir, defaultFile), mostBytes)
		if err == nil {
			return strings.TrimSpace(string(data)), nil
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	return Guess, nil
}

// Builtin is the names of the built-in profiles, sorted.
func Builtin() []string {
	return strict.Names(builtin, "builtin")
}

// Names is the names of all profiles, the built-in ones first.
func (s Store) Names() ([]string, error) {
	names := Builtin()
	if s.Dir == "" {
		return names, nil
	}
	own, err := namesIn(s.Dir)
	own = slices.DeleteFunc(own, func(name string) bool { return slices.Contains(names, name) })
	return append(names, own...), err
}

// namesIn is the names of the YAML files in a folder, sorted; none where there is no folder.
func namesIn(dir string) (names []string, err error) {
	files, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, f := range files {
		if name, ok := strings.CutSuffix(f.Name(), strict.Extension); ok {
			names = append(names, name)
		}
	}
	return names, nil
}
