package output

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/geom"
)

// TestDemoBookIsWhatTestsRelyOn looks at the demo book: whoever puts another in its
// place has to keep what tests of all packages rely on.
func TestDemoBookIsWhatTestsRelyOn(t *testing.T) {
	t.Parallel()
	const pages, turned = 118, 60
	path := filepath.Join("..", "..", "..", "testdata", "larkhaven.pdf")
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got := bytes.Count(whole, []byte("/Rotate 90\n")); got != 1 {
		t.Errorf("%d pages are stored turned, want 1", got)
	}
	book, err := pdf.Open(t.Context(), path, pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	// It is no multiple of what a gathering of any fold holds, so blanks are left.
	if got := len(book.Pages()); got != pages {
		t.Fatalf("%d pages, want %d, as its colophon says", got, pages)
	}
	for _, p := range book.Pages() {
		want := geom.Size{W: 148, H: 210}
		if p.Number == turned {
			want = geom.Size{W: 210, H: 148}
		}
		if p.Problem != nil || max(p.Size.W-want.W, want.W-p.Size.W, p.Size.H-want.H, want.H-p.Size.H) > 0.1 {
			t.Errorf("page %d has the size %v, want %v", p.Number, p.Size, want)
		}
	}
	// Title, contents, preface, the tower, twelve months, abstract and colophon.
	outline := book.OutlinePages()
	if len(outline) != 18 || !slices.IsSorted(outline) || outline[0] != 1 || outline[17] != pages {
		t.Errorf("the outline leads to %v", outline)
	}

	drawn := rendertest.Open(t, path)
	seen := map[string]int{}
	letters := 0
	var pictures []int
	for n := 1; n <= pages; n++ {
		words, err := drawn.Words(t.Context(), n)
		if err != nil {
			t.Fatal(err)
		}
		var text []string
		for _, w := range words {
			text = append(text, w.Text)
			letters += len(w.Text)
		}
		if n > 1 && !slices.Contains(text, fmt.Sprint(n)) {
			t.Errorf("page %d does not bear its number", n)
		}
		prose := strings.Join(slices.DeleteFunc(text, func(w string) bool { return w == fmt.Sprint(n) }), " ")
		if other := seen[prose]; other > 0 {
			t.Errorf("pages %d and %d read alike: %q", other, n, prose)
		}
		seen[prose] = n
		shows, err := book.Content(n)
		if err != nil {
			t.Fatal(err)
		}
		if len(shows.Pictures) > 0 {
			pictures = append(pictures, n)
		}
	}
	if letters < 100_000 {
		t.Errorf("%d letters are too few for a year's journal", letters)
	}
	if !slices.Equal(pictures, []int{11, 103}) {
		t.Errorf("tonal pictures on pages %v, want 11 and 103", pictures)
	}
}
