// Package library is where the page in the browser keeps books: a folder a book,
// in one folder that people find, open and carry away.
//
//	BOOKS/larkhaven/book.json       the book's name and what was chosen for it
//	BOOKS/larkhaven/larkhaven.pdf   the source, as it came; it may be several files, or none
//	BOOKS/larkhaven/print/          the job, as "foldwright prepare" writes it
//	BOOKS/shelf.json                which books were prepared together last
//	BOOKS/batch-report.json         what became of them, as "foldwright batch" writes it
//	BOOKS/larkhaven/bench.json      what was measured at the bench
//	BOOKS/larkhaven/bench/          bench sheet and piercing guide
//	BOOKS/devices.json              at which address the printer of a profile answers
//
// Names that come from outside are never paths: the folder and its files are named by [Slug],
// and all files are written below one [os.Root].
package library

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Environment is the variable that names the folder of books.
const Environment = "FOLDWRIGHT_BOOKS"

// Folder is the folder of books if no other is named: that of the variable FOLDWRIGHT_BOOKS,
// else Foldwright in the person's own folder.
func Folder() (string, error) {
	if dir := os.Getenv(Environment); dir != "" {
		return filepath.Abs(dir)
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", refusal.Output.New("this computer does not say where your own folder is").Advise("name a folder for your books with %s", phrase.Set("books"))
	}
	return filepath.Join(home, "Foldwright"), nil
}

// Library is a folder of books. Its methods may be called from several goroutines.
type Library struct {
	dir   string
	root  *os.Root
	mutex sync.Mutex // held while something is written
}

// Open opens the library in a folder, which is made if it is missing, and removes what
// arrived only in part before.
func Open(dir string) (*Library, error) {
	dir, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, refusal.Output.New("the folder for your books cannot be made: %w", err)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, refusal.Output.New("the folder for your books cannot be opened: %w", err)
	}
	l := &Library{dir: dir, root: root}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, errors.Join(err, root.Close())
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), arriving) {
			if err := root.RemoveAll(e.Name()); err != nil {
				return nil, errors.Join(err, root.Close())
			}
		}
	}
	return l, nil
}

// Dir is the folder.
func (l *Library) Dir() string { return l.dir }

// Close closes the folder.
func (l *Library) Close() error { return l.root.Close() }

// Books are all books, the one that was worked on last first. Folders without a book in them are left out.
func (l *Library) Books() ([]Book, error) {
	entries, err := os.ReadDir(l.dir)
	if err != nil {
		return nil, err
	}
	var books []Book
	for _, e := range entries {
		if !e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		b, err := l.Book(e.Name())
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			b = Book{ID: e.Name(), Name: e.Name(), Damage: err, library: l}
		}
		books = append(books, b)
	}
	slices.SortStableFunc(books, func(a, b Book) int { return b.Changed.Compare(a.Changed) })
	return books, nil
}

// TellApart is what tells books of one name apart, by their IDs: the names of their files, or where those are
// the same, too, of their folders. Books that have a name for themselves are not in it.
func TellApart(books []Book) map[string]string {
	names, files := map[string]int{}, map[[2]string]int{}
	for _, b := range books {
		names[b.Name]++
		files[[2]string{b.Name, b.firstFile()}]++
	}
	out := map[string]string{}
	for _, b := range books {
		switch {
		case names[b.Name] == 1:
		case files[[2]string{b.Name, b.firstFile()}] == 1 && b.firstFile() != "":
			out[b.ID] = b.firstFile()
		default:
			out[b.ID] = b.ID
		}
	}
	return out
}

// firstFile is the first file of a book, empty if there is none.
func (b Book) firstFile() string {
	if b.IsBlank() {
		return ""
	}
	return b.Files[0]
}

// Slug is a name from outside as a name of a file: letters, digits and single hyphens, at most 60 of them.
func Slug(name string) string {
	var out []rune
	for _, r := range strings.ToLower(strings.TrimSuffix(name, filepath.Ext(name))) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			out = append(out, r)
		case len(out) > 0 && out[len(out)-1] != '-':
			out = append(out, '-')
		}
		if len(out) == 60 {
			break
		}
	}
	slug := strings.Trim(string(out), "-")
	if slug == "" || isDevice(slug) {
		return "book"
	}
	return slug
}

// isDevice tells whether Windows takes a name for a device, whatever its ending.
func isDevice(name string) bool {
	switch name {
	case "con", "prn", "aux", "nul":
		return true
	}
	return len(name) == 4 && (strings.HasPrefix(name, "com") || strings.HasPrefix(name, "lpt")) && unicode.IsDigit(rune(name[3]))
}

// freeName is the name, or the name with the first number that is not taken, before its ending.
func (l *Library) freeName(name, ending string) string {
	for n := 1; ; n++ {
		try := name + ending
		if n > 1 {
			try = name + "-" + strconv.Itoa(n) + ending
		}
		if _, err := l.root.Lstat(try); errors.Is(err, fs.ErrNotExist) {
			return try
		}
	}
}
