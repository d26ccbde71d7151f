package preview

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/cmd/internal/testkit/written"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

func never(t *testing.T) func(string) {
	return func(side string) { t.Errorf("not drawn: %s", side) }
}

// prepared is a job of 8 pages of A5, each with a black block near its head's
// left, printed in one gathering of two sheets.
func prepared(t *testing.T, profile string) *proof.Print {
	t.Helper()
	return preparedWith(t, options.Options{Printer: profile})
}

// preparedWith is the same with more options.
func preparedWith(t *testing.T, o options.Options) *proof.Print {
	t.Helper()
	doc := pdftest.New(148.5, 210)
	for range 8 {
		doc.AddPage()
		doc.Rect(20, 20, 20, 10, "F")
	}
	source := filepath.Join(t.TempDir(), "blocks.pdf")
	if err := doc.OutputFileAndClose(source); err != nil {
		t.Fatal(err)
	}
	o.Paper, o.NoSideNames, o.Marks = "a4", true, options.Marks{Given: true}
	folder, _ := written.Folder(t, source, o)
	p, err := proof.Open(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { p.Close() })
	return p
}

// TestSidesAreShownAsTheyAreLookedAt finds the blocks where a folio has its
// heads: at the left on fronts, at the right on backs, on printers that turn
// the sheet about either edge.
func TestSidesAreShownAsTheyAreLookedAt(t *testing.T) {
	for _, profile := range profiles.Builtin() {
		p := prepared(t, profile)
		dir := t.TempDir()
		if err := Folder(t.Context(), p, Options{rendertest.Shared(t), 25.4, progress.Silent, never(t)}, dir); err != nil {
			t.Fatal(err)
		}
		for name, x := range map[string]int{"sheet-001-front.png": 25, "sheet-001-back.png": 185, "sheet-002-front.png": 25, "sheet-002-back.png": 185} {
			img := read(t, filepath.Join(dir, name))
			if size := img.Bounds().Size(); size != image.Pt(210, 297) {
				t.Errorf("%s is %v pixels", name, size)
			}
			dark := 0
			for y := range 297 {
				if r, _, _, _ := img.At(x, y).RGBA(); r < 0x8000 {
					dark++
				}
			}
			if dark < 36 || dark > 44 { // two blocks of 20
				t.Errorf("%s, %s: %d dark pixels at x = %d", profile, name, dark, x)
			}
		}
		if entries, err := os.ReadDir(dir); err != nil || len(entries) != Sides(p)+1 || len(Files(dir)) != len(entries) {
			t.Errorf("%d files, %v", len(entries), err)
		}
	}
}

func read(t *testing.T, path string) image.Image {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

func TestPageHoldsAllSides(t *testing.T) {
	p := prepared(t, "by-hand-short")
	var out bytes.Buffer
	if err := Page(t.Context(), p, Options{rendertest.Shared(t), 20, progress.Silent, never(t)}, &out); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	at := 0
	for _, want := range []string{
		string(generator.HTML()), "<h1>The sheets of blocks.pdf</h1>",
		"Sheet 1, number 1 of 2 in gathering 1</h2>", `alt="Sheet 1, front: pages 8 and 1"`, "Front: pages 8 and 1<", `alt="Sheet 1, back: pages 2 and 7"`,
		"Sheet 2, number 2 of 2 in gathering 1</h2>", `alt="Sheet 2, front: pages 6 and 3"`, `alt="Sheet 2, back: pages 4 and 5"`, "</html>",
	} {
		i := strings.Index(page[at:], want)
		if i < 0 {
			t.Fatalf("%q is not there, or not in its order", want)
		}
		at += i
	}
	if n := strings.Count(page, "<img "); n != Sides(p) || strings.Contains(page, "src=\"http") {
		t.Errorf("%d pictures", n)
	}
	path := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if !IsPage(path) || IsPage(filepath.Join(p.Folder, output.RunSheetFile)) {
		t.Error("a preview is not told from other pages")
	}
}

// TestPagesAreTurnedUpright finds the block near the head's left of each page where it stands
// once the side is turned, above the label with the page's number.
func TestPagesAreTurnedUpright(t *testing.T) {
	for _, o := range []options.Options{{}, {Fold: reorder.Quarto}, {Fold: reorder.Quarto, Bind: reorder.BindRight}, {Printer: "by-hand-long"}, {Cut: 2}} {
		p := preparedWith(t, o)
		made, err := plan.Read(p.Folder)
		if err != nil {
			t.Fatal(err)
		}
		upright, labels := 0, 0
		err = drawAll(t.Context(), p, Options{rendertest.Shared(t), 50.8, progress.Silent, never(t)}, func(front, back picture) error {
			for _, side := range showSheet(p, made, front, back).Sides {
				img, err := png.Decode(bytes.NewReader(side.PNG))
				if err != nil {
					return err
				}
				for _, l := range side.Labels {
					labels++
					if !l.Blank && blockIsUpright(img, side, l) {
						upright++
					}
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		want := labels
		if o.Fold == reorder.Quarto { // half of its pages have their heads where the others have their tails
			want = labels / 2
		}
		if labels != 8 || upright != want {
			t.Errorf("%+v: %d of %d pages are upright, want %d", o.Fold, upright, labels, want)
		}
	}
}

// blockIsUpright looks for the block of a page far above its label and to the left, on the side
// as it is turned: its middle is 30 mm from the left and 25 mm from the head of a page of A5.
func blockIsUpright(img image.Image, side sideView, l label) bool {
	read := side.paper
	if side.turn%2 == 1 {
		read = read.Turn()
	}
	scale := 1.0
	if len(side.Labels) == 4 {
		scale = 148.5 / 210
	}
	at := geom.Point{
		X: l.read.X + scale*(30-148.5/2)/read.W,
		Y: l.read.Y + scale*(25-0.93*210)/read.H,
	}
	for range side.turn {
		at = geom.Point{X: 1 - at.Y, Y: at.X}
	}
	b := img.Bounds()
	pixel := image.Pt(int(at.X*float64(b.Dx())), int(at.Y*float64(b.Dy())))
	r, _, _, _ := img.At(pixel.X, pixel.Y).RGBA()
	return pixel.In(b) && r < 0x8000
}
