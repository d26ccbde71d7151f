package library

import (
	"encoding/json"
	"io"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

const (
	bookFile   = "book.json"
	bookKind   = "foldwright book"
	bookFormat = 2 // 1 had one file, in "file"
	jobFolder  = "print"
	arriving   = ".arriving-"
)

// MostUpload is how large a file may be that is taken in, in bytes.
const MostUpload = 2 << 30

// Book is a book of the library.
type Book struct {
	ID      string            // the name of its folder
	Name    string            // as pages show it
	Files   []string          // the source, in its folder, in reading order; none: a blank book
	Choices map[string]string // what was chosen, by the keys of worklists, as texts that options read; see [Book.Settings]
	Changed time.Time         // when it was kept last
	Damage  error             // why the book cannot be used; nil: it can

	library *Library
}

// record is book.json.
type record struct {
	Kind    string            `json:"kind"`
	Format  int               `json:"format"`
	Name    string            `json:"name"`
	File    string            `json:"file,omitempty"` // of format 1
	Files   []string          `json:"files,omitempty"`
	Choices map[string]string `json:"choices"`
}

// Book reads a book. The error wraps [fs.ErrNotExist] if there is none of this name.
func (l *Library) Book(id string) (Book, error) {
	if id == "" || id != path.Base(id) || strings.HasPrefix(id, ".") || strings.ContainsAny(id, `/\`) {
		return Book{}, refusal.Source.New("there is no book of this name")
	}
	name := path.Join(id, bookFile)
	data, err := l.root.ReadFile(name)
	if err != nil {
		return Book{}, refusal.Source.New("there is no book %s: %w", id, err)
	}
	info, err := l.root.Stat(name)
	if err != nil {
		return Book{}, err
	}
	var r record
	err = json.Unmarshal(data, &r)
	if r.Format == 1 {
		r.Files = []string{r.File}
	}
	isPath := func(file string) bool { return file != path.Base(file) }
	if err != nil || r.Kind != bookKind || r.Format < 1 || r.Format > bookFormat || slices.ContainsFunc(r.Files, isPath) {
		return Book{}, refusal.Plan.New("%s is damaged", filepath.Join(l.dir, id, bookFile)).Advise("take the PDF in once more")
	}
	if r.Choices == nil {
		r.Choices = map[string]string{}
	}
	return Book{ID: id, Name: r.Name, Files: r.Files, Choices: r.Choices, Changed: info.ModTime(), library: l}, nil
}

// Keep writes the book's name and choices down.
func (b Book) Keep() error {
	b.library.mutex.Lock()
	defer b.library.mutex.Unlock()
	return b.library.writeRecord(path.Join(b.ID, bookFile), b.record())
}

func (b Book) record() record {
	return record{Kind: bookKind, Format: bookFormat, Name: b.Name, Files: b.Files, Choices: b.Choices}
}

// Settings are the choices as options read them, sorted by their keys.
func (b Book) Settings() (out []phrase.Setting) {
	for _, key := range slices.Sorted(maps.Keys(b.Choices)) {
		out = append(out, phrase.Setting{Key: key, Value: b.Choices[key]})
	}
	return out
}

// Resolve is the choices with everything that was not chosen.
func (b Book) Resolve(with options.Setting) (options.Resolved, error) {
	o, err := options.Read(b.Settings()...)
	if err != nil {
		return options.Resolved{}, err
	}
	return o.Resolve(with)
}

// IsOutdated tells whether the job's folder was prepared with other choices than now, for a printer that was
// known otherwise, or by another version of the program. A book that has not been prepared is not outdated.
func (b Book) IsOutdated(with options.Setting) bool {
	if !b.IsPrepared() {
		return false
	}
	made, err := plan.ReadBrief(b.Job())
	r, resolved := b.Resolve(with)
	return err != nil || resolved != nil || made.Request != r.Request.Of(b.Sources()...)
}

// Dir is the book's folder.
func (b Book) Dir() string { return filepath.Join(b.library.dir, b.ID) }

// IsBlank tells whether the book has no PDF.
func (b Book) IsBlank() bool { return len(b.Files) == 0 }

// Sources are the paths of its PDFs, in reading order.
func (b Book) Sources() (out []string) {
	for _, file := range b.Files {
		out = append(out, filepath.Join(b.Dir(), file))
	}
	return out
}

// Job is the path of the job's folder, which is there once the book has been prepared.
func (b Book) Job() string { return filepath.Join(b.Dir(), jobFolder) }

// IsPrepared tells whether the job's folder is there, and complete.
func (b Book) IsPrepared() bool {
	_, err := os.Stat(filepath.Join(b.Job(), plan.File))
	return err == nil
}

// Remove removes the book with all that belongs to it.
func (b Book) Remove() error {
	b.library.mutex.Lock()
	defer b.library.mutex.Unlock()
	return b.library.root.RemoveAll(b.ID)
}

// Arrival is a book whose files are coming in. It is kept or dropped as a whole.
type Arrival struct {
	library *Library
	folder  string
	Files   []string          // the paths of what has come, in order
	Choices map[string]string // for the book
}

// Begin begins to take a book in.
func (l *Library) Begin() (*Arrival, error) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	folder := l.freeName(arriving+"book", "")
	return &Arrival{library: l, folder: folder}, l.root.Mkdir(folder, 0o700)
}

// Add streams one file in, whose name is that of the person's file.
func (a *Arrival) Add(name string, r io.Reader) error {
	file := a.library.freeName(path.Join(a.folder, Slug(name)), ".pdf") // two files may have one name
	n, err := a.library.copyTo(file, io.LimitReader(r, MostUpload+1))
	switch {
	case err != nil:
		return err
	case n > MostUpload:
		return refusal.Source.New("“%s” is larger than 2 GB, which is more than is taken in here", name).Advise("prepare it in a terminal, where it is read from its place")
	case n == 0:
		return refusal.Source.New("“%s” is empty", name)
	}
	a.Files = append(a.Files, filepath.Join(a.library.dir, filepath.FromSlash(file)))
	return nil
}

// Dir is the folder in which the files lie until they are kept.
func (a *Arrival) Dir() string { return filepath.Join(a.library.dir, a.folder) }

// Keep makes a book of the files, by their paths, in reading order.
func (a *Arrival) Keep(name string, files ...string) (Book, error) {
	l := a.library
	l.mutex.Lock()
	defer l.mutex.Unlock()
	b := Book{Name: name, Choices: map[string]string{}, library: l}
	maps.Copy(b.Choices, a.Choices)
	for _, file := range files {
		b.Files = append(b.Files, filepath.Base(file))
	}
	if err := l.writeRecord(path.Join(a.folder, bookFile), b.record()); err != nil {
		return Book{}, err
	}
	b.ID = l.freeName(Slug(name+".pdf"), "")
	return b, l.root.Rename(a.folder, b.ID)
}

// Drop removes what has come.
func (a *Arrival) Drop() error { return a.library.root.RemoveAll(a.folder) }
