// Command shelves writes shelves of invented books, to measure batch with.
//
//	go run ./cmd/internal/shelves DIR N [PDF ...]
//
// It fills the folder DIR with N titles and a worklist, shelf.yaml: first 20
// that are broken, each in a way of its own (broken.go), then the given PDFs,
// then text books (book.go). Nothing depends on the clock or on chance.
package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "shelves:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) < 2 {
		return errors.New("usage: shelves DIR N [PDF ...]")
	}
	dir, real := args[0], args[2:]
	titles, err := strconv.Atoi(args[1])
	if err != nil || titles < len(ways)+len(real) {
		return fmt.Errorf("the number of titles has to be at least %d", len(ways)+len(real))
	}
	s := &shelf{dir: dir}
	if err := s.broken(); err != nil {
		return err
	}
	for i, path := range real {
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if err := s.put(fmt.Sprintf("real/%02d-%s", i+1, strings.ReplaceAll(filepath.Base(path), " ", "-")), data); err != nil {
			return err
		}
	}
	for i := len(ways) + len(real); i < titles; i++ {
		// From 60 to 360 pages, and not in order of size.
		data, err := textBook(uint64(i), 60+(i*97)%301)
		if err != nil {
			return err
		}
		if err := s.put(fmt.Sprintf("text/%s-%03d.pdf", subjects[i%len(subjects)], i), data); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(dir, "shelf.yaml"), []byte("format: 1\ndefaults: {printer: by-hand-short}\ntitles:\n"+s.list.String()), 0o666)
}

// shelf is a folder of titles that is being filled.
type shelf struct {
	dir  string
	list strings.Builder // entries of the worklist
}

// put writes a source and its entry.
func (s *shelf) put(name string, data []byte, options ...string) error {
	path := filepath.Join(s.dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return err
	}
	s.entry(name, options...)
	return os.WriteFile(path, data, 0o666)
}

func (s *shelf) entry(name string, options ...string) {
	fmt.Fprintf(&s.list, " - {source: %q%s}\n", name, strings.Join(append([]string{""}, options...), ", "))
}
