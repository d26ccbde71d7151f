package printtest

import (
	"crypto/sha256"
	"os"
	"testing"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// Page is a page of a print file as it is read back.
type Page struct {
	Size  geom.Size
	Words []render.Word
}

// Reader reads print files. Files of the same bytes are read once.
type Reader struct {
	// Mark, if set, makes the mark of a page of a word: p12, or no mark. Otherwise words are marks as they stand.
	Mark  func(word string) string
	files map[[sha256.Size]byte][]Page
}

// Files is how many different files have been read.
func (r *Reader) Files() int { return len(r.files) }

// Pages are the pages of a file.
func (r *Reader) Pages(t testing.TB, path string) []Page {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	digest := sha256.Sum256(data)
	if pages, ok := r.files[digest]; ok {
		return pages
	}
	doc := rendertest.OpenBytes(t, path, data)
	var pages []Page
	for n := 1; n <= doc.Pages(); n++ {
		size, err := doc.Size(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		words, err := doc.Words(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		if r.Mark != nil {
			for i := range words {
				words[i].Text = r.Mark(words[i].Text)
			}
		}
		pages = append(pages, Page{size, words})
	}
	if r.files == nil {
		r.files = map[[sha256.Size]byte][]Page{}
	}
	r.files[digest] = pages
	return pages
}
