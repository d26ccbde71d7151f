package proof

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/render/rendertest"
	"foldwright/reorder"
)

// numbered is a book of A5 pages that bear their numbers.
func numbered(t *testing.T, pages int) string {
	t.Helper()
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	doc.SetFont("Helvetica", "", 20)
	for i := range pages {
		doc.AddPage()
		doc.Text(70, 100, fmt.Sprintf("p%d", i+1))
	}
	path := filepath.Join(t.TempDir(), "numbered.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestBookReadsInOrder reads the numbers in the book that is written: upright,
// on the half of the opening where a reader finds them.
func TestBookReadsInOrder(t *testing.T) {
	source := numbered(t, 20)
	for name, c := range map[string]struct {
		o     job.Options
		first func(reorder.Point, reorder.Size) bool // on the half of rectos
	}{
		"left":   {job.Options{}, func(p reorder.Point, s reorder.Size) bool { return p.X > s.W/2 }},
		"right":  {job.Options{Bind: reorder.BindRight}, func(p reorder.Point, s reorder.Size) bool { return p.X < s.W/2 }},
		"top":    {job.Options{Bind: reorder.BindTop}, func(p reorder.Point, s reorder.Size) bool { return p.Y < s.H/2 }},
		"octavo": {job.Options{Fold: reorder.Octavo, Printer: "automatic-long"}, func(p reorder.Point, s reorder.Size) bool { return p.X > s.W/2 }},
		"pouch":  {job.Options{Fold: reorder.Pouch}, func(p reorder.Point, s reorder.Size) bool { return p.X > s.W/2 }},
	} {
		p := opened(t, prepared(t, source, c.o))
		var out, again bytes.Buffer
		if err := p.WriteBook(t.Context(), &out); err != nil {
			t.Fatal(err)
		}
		if err := p.WriteBook(t.Context(), &again); err != nil || !bytes.Equal(out.Bytes(), again.Bytes()) {
			t.Errorf("%s: written twice the book differs, %v", name, err)
		}
		d := rendertest.OpenBytes(t, name, out.Bytes())
		next := 1
		for page := 1; page <= d.Pages(); page++ {
			size, err := d.Size(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			words, err := d.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			halves := map[bool]int{} // recto or not
			for _, w := range words {
				number, ok := strings.CutPrefix(w.Text, "p")
				n, err := strconv.Atoi(number)
				if !ok || err != nil {
					continue
				}
				if w.Angle > 1 && w.Angle < 359 {
					t.Errorf("%s: page %d is turned by %.0f degrees", name, n, w.Angle)
				}
				halves[c.first(w.Origin, size)] = n
			}
			for _, recto := range []bool{false, true} {
				if recto && page == d.Pages() || !recto && page == 1 {
					if halves[recto] != 0 {
						t.Errorf("%s: opening %d of %d has page %d where nothing is", name, page, d.Pages(), halves[recto])
					}
					continue
				}
				want := next
				if next > 20 {
					want = 0
				}
				if halves[recto] != want {
					t.Errorf("%s: opening %d shows page %d, want %d", name, page, halves[recto], want)
				}
				next++
			}
		}
		if next <= 20 {
			t.Errorf("%s: the book ends before page %d", name, next)
		}
	}
}

func TestNamesBesideAFolder(t *testing.T) {
	for folder, want := range map[string]string{
		"larkhaven-print": "larkhaven-proof.pdf", "a/b-print/": "a/b-proof.pdf", "trial": "trial-proof.pdf",
	} {
		if got := BookFile(filepath.FromSlash(folder)); got != filepath.FromSlash(want) {
			t.Errorf("%s: %s, want %s", folder, got, want)
		}
	}
}
