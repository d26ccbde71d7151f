package survey

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/testkit/rendertest"
)

// TestDrawingCountsPagesAsTheSource opens a file whose tree of pages leads in a circle, of which PDFium counts
// one page more: what is page 2 for one of the two must not be page 1 for the other.
func TestDrawingCountsPagesAsTheSource(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "pdf", "testdata", "encrypted", "r4-empty.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "circle.pdf")
	data = bytes.Replace(data, []byte("/Count 1 /Kids [ 3 0 R ]"), []byte("/Count 2 /Kids [ 2 0 R 3 0 R ]"), 1)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	source, err := Open(t.Context(), path, "", rendertest.Shared(t))
	if err != nil {
		t.Fatal(err)
	}
	defer source.Close()
	if alone := rendertest.Open(t, path); alone.Pages() == len(source.Pages()) {
		t.Errorf("PDFium counts %d pages by itself: nothing is tried here", alone.Pages())
	}
	drawing, err := source.Render(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer drawing.Close()
	if drawing.Pages() != len(source.Pages()) {
		t.Errorf("%d pages are drawn of %d", drawing.Pages(), len(source.Pages()))
	}
}
