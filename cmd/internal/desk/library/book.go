package library

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
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

// bookRecord is book.json.
type bookRecord struct {
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
	var r bookRecord
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
	return b.library.writeRecord(path.Join(b.ID, bookFile), b.toRecord())
}

func (b Book) toRecord() bookRecord {
	return bookRecord{Kind: bookKind, Format: bookFormat, Name: b.Name, Files: b.Files, Choices: b.Choices}
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

// copyTo streams into a new file below the root, onto the disk.
func (l *Library) copyTo(name string, r io.Reader) (int64, error) {
	f, err := l.root.OpenFile(name, os.O_CREATE|os.O_WRONLY|os.O_EXCL, 0o600)
	if err != nil {
		return 0, err
	}
	n, err := io.Copy(f, r)
	return n, errors.Join(err, f.Sync(), f.Close())
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
	if err := l.writeRecord(path.Join(a.folder, bookFile), b.toRecord()); err != nil {
		return Book{}, err
	}
	b.ID = l.freeName(Slug(name+".pdf"), "")
	return b, l.root.Rename(a.folder, b.ID)
}

// Drop removes what has come.
func (a *Arrival) Drop() error { return a.library.root.RemoveAll(a.folder) }

const (
	benchFile   = "bench.json"
	benchKind   = "foldwright bench"
	benchFormat = 1
	benchFolder = "bench"
)

// benchRecord is bench.json: what was typed at the bench, by volumes and by the boxes it was typed into.
// It stands beside the job's folder, which is replaced when the book is prepared again.
type benchRecord struct {
	Kind    string                       `json:"kind"`
	Format  int                          `json:"format"`
	Volumes map[string]map[string]string `json:"volumes"`
}

// Measured is what was typed at the bench for a volume, from 1, by the keys of its boxes; nil: nothing yet.
func (b Book) Measured(volume int) (map[string]string, error) {
	r, err := b.readBench()
	return r.Volumes[strconv.Itoa(volume)], err
}

// KeepMeasured writes down what was typed for a volume, complete or not at all. A record that cannot be read is
// refused and left as it is.
func (b Book) KeepMeasured(volume int, typed map[string]string) error {
	b.library.mutex.Lock()
	defer b.library.mutex.Unlock()
	r, err := b.readBench()
	if err != nil {
		return err
	}
	r.Volumes[strconv.Itoa(volume)] = typed
	return b.library.writeRecord(path.Join(b.ID, benchFile), r)
}

func (b Book) readBench() (benchRecord, error) {
	r := benchRecord{Kind: benchKind, Format: benchFormat, Volumes: map[string]map[string]string{}}
	err := b.library.readRecord(path.Join(b.ID, benchFile), &r)
	if errors.Is(err, fs.ErrNotExist) {
		return r, nil
	}
	if err == nil && (r.Kind != benchKind || r.Format != benchFormat || r.Volumes == nil) {
		err = errors.New("it is no record of measurements, or one of a later version")
	}
	if err != nil {
		return benchRecord{}, refusal.Plan.New("%s cannot be read: %w", filepath.Join(b.Dir(), benchFile), err).
			Advise("move the file away and enter your measurements again")
	}
	return r, nil
}

// Bench is the folder for the bench sheet and the piercing guide of a volume; 0: the book is one.
func (b Book) Bench(volume int) string {
	name := benchFolder
	if volume > 0 {
		name = fmt.Sprintf("%s-%d", benchFolder, volume)
	}
	return filepath.Join(b.Dir(), name)
}
