package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"testing"
)

// madeOnce is the book, made once for all tests. Don't change it.
var madeOnce = sync.OnceValues(makeBook)

// larkhaven is the book as it is committed; go run ./cmd/internal/demo writes it.
var larkhaven = filepath.Join("..", "..", "..", "testdata", "larkhaven.pdf")

const wantPages = 118

func TestCommittedBookIsWhatTheSourceMakes(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("other processors may fuse a multiplication and an addition, so that a dot of a picture differs in its last bit")
	}
	want, err := os.ReadFile(larkhaven)
	if err != nil {
		t.Fatal(err)
	}
	got, err := madeOnce()
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the source makes a book of %d bytes that differs from the committed one of %d: run go run ./cmd/internal/demo", len(got), len(want))
	}
}

func TestBookHasTheSizeThatTheTestsOfBindingNeed(t *testing.T) {
	book, err := madeOnce()
	if err != nil {
		t.Fatal(err)
	}
	if got := len(regexp.MustCompile(`/Type /Page\n`).FindAll(book, -1)); got != wantPages {
		t.Errorf("%d pages, want %d, as the colophon says", got, wantPages)
	}
	if wantPages%4 == 0 || wantPages%16 == 0 {
		t.Errorf("%d pages leave no blank at the end of a gathering", wantPages)
	}
	if len(book) >= 2<<20 {
		t.Errorf("%d bytes, want less than 2 MB", len(book))
	}
	if got := bytes.Count(book, []byte("/Rotate 90\n")); got != 1 {
		t.Errorf("%d turned pages, want 1", got)
	}
}

// The table of offsets is rewritten by turnPages: every entry must still lead to its object.
func TestOffsetsLeadToObjects(t *testing.T) {
	book, err := madeOnce()
	if err != nil {
		t.Fatal(err)
	}
	_, offsets, _, err := splitTable(book)
	if err != nil {
		t.Fatal(err)
	}
	if len(offsets) < 2*wantPages {
		t.Fatalf("%d objects are too few for %d pages", len(offsets), wantPages)
	}
	for i, offset := range offsets {
		if want := fmt.Sprintf("%d 0 obj\n", i+1); !bytes.HasPrefix(book[offset:], []byte(want)) {
			t.Errorf("offset %d of object %d leads to %q", offset, i+1, book[offset:offset+20])
		}
	}
}

func TestOutlines(t *testing.T) {
	book, err := madeOnce()
	if err != nil {
		t.Fatal(err)
	}
	// Titles are UTF-16 in the file; these have nothing but ASCII letters.
	entries := regexp.MustCompile(`<</Title \(((?s).*?)\)\n/Parent`).FindAllSubmatch(book, -1)
	var titles []string
	for _, e := range entries {
		titles = append(titles, strings.ReplaceAll(strings.TrimPrefix(string(e[1]), "\xfe\xff"), "\x00", ""))
	}
	outline := "\n" + strings.Join(titles, "\n") + "\n"
	for _, want := range []string{"The Larkhaven Journal", "Contents", "January", "February", "March", "April", "May", "June", "July",
		"August", "September", "October", "November", "December", "The night of the birds", "Colophon"} {
		if !strings.Contains(outline, "\n"+want+"\n") {
			t.Errorf("no outline entry %q among %d", want, len(titles))
		}
	}
	for date, plates := range platesAfter {
		for _, pl := range plates {
			if !strings.Contains(outline, "\n"+pl.title+"\n") {
				t.Errorf("no outline entry %q for the plate of %s", pl.title, date)
			}
		}
	}
	for date, title := range landmarks {
		if !strings.Contains(outline, "\n"+title+"\n") {
			t.Errorf("no outline entry %q for %s", title, date)
		}
	}
}
