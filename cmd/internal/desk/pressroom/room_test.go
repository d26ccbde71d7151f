package pressroom

import (
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/output"
	"foldwright/profiles"
)

// TestOnlyWhatIsPreparedIsPrinted, and the run sheet is shown as it was written.
func TestOnlyWhatIsPreparedIsPrinted(t *testing.T) {
	books, err := library.Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer books.Close()
	a, err := books.Begin()
	if err != nil {
		t.Fatal(err)
	}
	if err := a.Add("tides.pdf", strings.NewReader("pdf")); err != nil {
		t.Fatal(err)
	}
	b, err := a.Keep("Tides", a.Files[0])
	if err != nil {
		t.Fatal(err)
	}
	d := &page.Desk{Context: t.Context(), Library: books, Profiles: profiles.Open(t.TempDir())}
	Add(d)
	routes := d.Routes()
	get := func(path string) (int, string, http.Header) {
		w := httptest.NewRecorder()
		routes.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		return w.Code, w.Body.String(), w.Header()
	}
	const at = "/books/tides/print"
	if status, text, _ := get(at); status != http.StatusOK || !strings.Contains(text, "have not been prepared yet") {
		t.Errorf("%d %s", status, text)
	}
	if status, _, _ := get(at + "/run-sheet"); status != http.StatusNotFound {
		t.Errorf("a run sheet of nothing: %d", status)
	}
	if status, _, _ := get("/books/none/print"); status != http.StatusNotFound {
		t.Errorf("a book that is not there: %d", status)
	}
	if err := os.Mkdir(b.Job(), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(b.Job(), output.RunSheetFile), []byte("<p>Fold"), 0o600); err != nil {
		t.Fatal(err)
	}
	status, text, head := get(at + "/run-sheet")
	if status != http.StatusOK || text != "<p>Fold" || !strings.Contains(head.Get("Content-Security-Policy"), "sandbox") {
		t.Errorf("%d %s %v", status, text, head)
	}
}
