package bench

import (
	"bytes"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/cli"
)

// TestFloorCountsWhatPagesUse has four pages whose streams are known: pages 1
// and 4, which stand on one side, share a picture, page 2 uses one through a
// form, and another picture is in everybody's resources and used by nobody.
func TestFloorCountsWhatPagesUse(t *testing.T) {
	stream := func(entries, data string) string {
		return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", entries, len(data), data)
	}
	image := func(n int) string {
		return stream("/Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray", strings.Repeat("x", n))
	}
	objects := []string{
		"<</Type/Catalog/Pages 2 0 R>>",
		"<</Type/Pages/Count 4/Kids[3 0 R 4 0 R 5 0 R 6 0 R]/Resources<</XObject<</Shared 11 0 R/Form 12 0 R/Unused 14 0 R>>>>>>",
	}
	contents := []string{"/Shared Do", "/Form Do", "0 0 m", "q /Shared Do Q"}
	for i := range contents {
		objects = append(objects, fmt.Sprintf("<</Type/Page/Parent 2 0 R/MediaBox[0 0 300 400]/Contents %d 0 R>>", 7+i))
	}
	for _, c := range contents {
		objects = append(objects, stream("", c))
	}
	form := "/Below Do "
	objects = append(objects, image(1000), stream("/Type/XObject/Subtype/Form/BBox[0 0 9 9]/Resources<</XObject<</Below 13 0 R>>>>", form), image(200), image(5000))
	var file bytes.Buffer
	file.WriteString("%PDF-1.7\n")
	for i, o := range objects {
		fmt.Fprintf(&file, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	fmt.Fprintf(&file, "trailer\n<</Root 1 0 R/Size %d>>\n%%%%EOF\n", len(objects)+1)
	dir := t.TempDir()
	source := filepath.Join(dir, "source.pdf")
	plan := `{"options":{"fold":"folio","cut":1},"gatherings":[{"sheets":1,"pages":[1,2,3,4]}],"runs":[{"passes":[{"file":"a"},{"file":"b"}]}]}`
	for path, data := range map[string]string{source: file.String(), filepath.Join(dir, "plan.json"): plan} {
		if err := os.WriteFile(path, []byte(data), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	got, err := floorOf(t.Context(), dir, source)
	if err != nil {
		t.Fatal(err)
	}
	outer := len(contents[0]) + len(contents[3]) + 1000
	inner := len(contents[1]) + len(contents[2]) + len(form) + 200
	if want := (floor{int64(outer + inner + 4*perPage), 4}); got != want {
		t.Errorf("the floor is %v, want %v", got, want)
	}
}

// TestSidesOfSheets has two sheets, the last page a blank.
func TestSidesOfSheets(t *testing.T) {
	var outer, inner []int
	addSides(&outer, &inner, []int{1, 2, 3, 4, 5, 6, 7, 0})
	if !slices.Equal(outer, []int{1, 3, 6}) || !slices.Equal(inner, []int{2, 4, 5, 7}) {
		t.Errorf("outer sides hold %v, inner sides %v", outer, inner)
	}
}

// TestKitIsSmall bounds the kit of a book of 300 pages in one run, as a folder
// and as a zip file.
func TestKitIsSmall(t *testing.T) {
	dir := t.TempDir()
	source := filepath.Join(dir, "book.pdf")
	if err := (book{kind: "manual", pages: 300, seed: 3}).write(source); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"kit", "kit.zip"} {
		place := filepath.Join(dir, name)
		var said strings.Builder
		if status := cli.Run(t.Context(), []string{"kit", source, "--paper", "a4", "--out", place}, cli.Surroundings{Out: &said, Err: &said}); status != cli.Done {
			t.Fatal(said.String())
		}
		f, err := floorOf(t.Context(), place, source)
		if err != nil {
			t.Fatal(err)
		}
		written, err := size(place, true)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: floor %d, at most %d, written %d", name, f.bytes, f.most(), written)
		if written > f.most() || f.pages != 4*300 {
			t.Errorf("%s has %d bytes for %d pages, at most %d", name, written, f.pages, f.most())
		}
	}
}

// TestBooksAreTheSameEachTime keeps figures comparable.
func TestBooksAreTheSameEachTime(t *testing.T) {
	write := func(b book) []byte {
		path := filepath.Join(t.TempDir(), "book.pdf")
		if err := b.write(path); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	for _, c := range []struct {
		book  book
		least int // bytes
	}{
		{book{"manual", 5, 1}, 5 * 1500}, {book{"plain", 5, 1}, 5 * 1500}, {book{"pictures", 1, 1}, 20_000}, {book{"scan", 1, 1}, 500_000},
	} {
		one, two := write(c.book), write(c.book)
		if !bytes.Equal(one, two) || len(one) < c.least {
			t.Errorf("%v has %d bytes and then %d, want the same and at least %d", c.book, len(one), len(two), c.least)
		}
		c.book.seed = 2
		if other := write(c.book); c.book.kind != "scan" && bytes.Equal(one, other) {
			t.Errorf("%v is the same as with another seed", c.book)
		}
	}
	small := image.Pt(60, 40)
	if bytes.Equal(photograph(3, small, 60), photograph(4, small, 60)) {
		t.Error("photographs are not one for each number")
	}
	if err := (book{"verse", 1, 1}).write(filepath.Join(t.TempDir(), "book.pdf")); err == nil {
		t.Error("an unknown kind of book is made")
	}
}
