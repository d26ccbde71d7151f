// Command demo writes testdata/larkhaven.pdf, the book that tests and walkthroughs print, fold and sew.
//
// The Larkhaven Journal is a year in the life of an invented lighthouse: prose, tables, line drawings,
// two tonal pictures, a plate stored turned, outlines, and a number of pages that divides by neither 4 nor
// 16. The number printed on each page is its number in the file, so that a folded book can be checked by eye.
//
// Start with makeBook in book.go. The weather of the year comes first (weather.go, tides.go), then what the
// keepers say of it (journal.go, grammar.go and the texts in text/), then the pages (pages.go, typeset.go).
// Nothing depends on the clock or on chance: the same source gives the same bytes.
//
// Run it from the module's root:
//
//	go run ./cmd/internal/demo
package main

import (
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if err := write(filepath.Join("testdata", "larkhaven.pdf")); err != nil {
		fmt.Fprintln(os.Stderr, "demo:", err)
		os.Exit(1)
	}
}

func write(file string) error {
	book, err := makeBook()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	return os.WriteFile(file, book, 0o644)
}
