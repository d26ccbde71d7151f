package shelf

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Title is one book of a shelf.
type Title struct {
	// Name is what the shelf calls it, with slashes between folders:
	// birds/terns. No other title of the shelf has it.
	Name     string           `json:"-"`
	Source   string           `json:"source"`                  // path of the PDF
	Further  []string         `json:"further,omitempty"`       // paths of PDFs that are read after it, as one book
	Place    string           `json:"place"`                   // path of the folder to write
	Password string           `json:"password_file,omitempty"` // path of the file that holds it; empty: none
	Secret   string           `json:"password,omitempty"`      // the password itself, which goes through a pipe alone; empty: it is not known
	Proof    bool             `json:"proof,omitempty"`         // it is only made if its print files are proved to make the book
	Settings []phrase.Setting `json:"settings"`
	Options  *options.Options `json:"-"` // what the settings say
	line     int              // of the worklist; 0: from a folder
}

// Two options of a title are none of [options.Options].
const (
	PasswordKey = "password-file" // the file that holds its password
	ProofKey    = "proof"
)

// Files are the paths of the title's PDFs in reading order.
func (t Title) Files() []string {
	if t.Source == "" {
		return nil // a blank book
	}
	return append([]string{t.Source}, t.Further...)
}

// set gives the title its settings and what they say that is none of [options.Options].
func (t *Title) set(settings []phrase.Setting) (err error) {
	for _, s := range settings {
		switch s.Key {
		case PasswordKey:
			t.Password = s.Value
		case ProofKey:
			if t.Proof, err = strconv.ParseBool(s.Value); err != nil {
				return &SettingError{s.Key, fmt.Errorf("%q is neither true nor false", s.Value)}
			}
		default:
			t.Settings = append(t.Settings, s)
		}
	}
	return nil
}

// readSettings makes options of settings. An error about one of them is a [*SettingError].
func readSettings(settings []phrase.Setting) (o options.Options, err error) {
	for _, s := range settings {
		if err := o.Set(s); err != nil {
			return o, &SettingError{s.Key, err}
		}
	}
	return o, o.Check()
}

// SettingError says which setting of a title is refused.
type SettingError struct {
	Key string
	Err error
}

func (e *SettingError) Error() string { return e.Key + ": " + e.Err.Error() }
func (e *SettingError) Unwrap() error { return e.Err }

func (e *SettingError) Kind() refusal.Kind { return refusal.Use }

// nameOf is a source's name on a shelf: its path below the shelf's folder
// without the extension, or only its own name if it lies elsewhere.
func nameOf(folder, source string) string {
	rel, err := filepath.Rel(folder, source)
	if err != nil || !filepath.IsLocal(rel) {
		rel = filepath.Base(source)
	}
	return filepath.ToSlash(stem(rel))
}

func stem(path string) string {
	if ext := filepath.Ext(path); len(ext) < len(filepath.Base(path)) {
		return strings.TrimSuffix(path, ext)
	}
	return path
}

// placeOf is where a title of this name is written, below the shelf's output.
func placeOf(out, name string) string {
	return filepath.Join(out, filepath.FromSlash(name)+"-print")
}
