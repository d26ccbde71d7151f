package output

import (
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
)

var dummyMark = regexp.MustCompile(`^[0-9]+$`)

// The dummy, printed and folded, reads like the book, the numbers upright.
func TestDummyMakesTheBook(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	for _, name := range profiles.Builtin() {
		for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight} {
			o := options.Options{Printer: name, Bind: bind, Sheets: 3, Dummy: true}
			folder, plan := prepared(t, source, o, setting(t))
			if !plan.Options.Dummy {
				t.Error("the plan does not say that it is a dummy")
			}
			size := plan.Paper.Size
			var stack []paper.Sheet
			for _, run := range plan.Runs {
				var files [][][]paper.Mark
				for _, file := range run.Files() {
					files = append(files, dummyMarks(t, filepath.Join(folder, file)))
				}
				p, err := virtual.New[[]paper.Mark](plan.Profile.Facts)
				if err != nil {
					t.Fatal(err)
				}
				done, err := p.Make(files...)
				if err != nil {
					t.Fatal(err)
				}
				for _, s := range done {
					stack = append(stack, paper.Sheet{Size: size, Front: seenMarks(s.Front, size), Back: seenMarks(s.Back, size)})
				}
			}
			printtest.Load(t, folder).Faces(t, stack)
		}
	}
}

// dummyMarks are the large numbers on the pages of a file. The book's own
// text, marks such as p7, must not be there.
func dummyMarks(t *testing.T, path string) [][]paper.Mark {
	t.Helper()
	doc := rendertest.Open(t, path)
	var pages [][]paper.Mark
	for page := 1; page <= doc.Pages(); page++ {
		words, err := doc.Words(t.Context(), page)
		if err != nil {
			t.Fatal(err)
		}
		marks := []paper.Mark{}
		for _, w := range words {
			if printtest.PageMark.MatchString(w.Text) {
				t.Fatalf("%s shows %s of the book", filepath.Base(path), w.Text)
			}
			// Side names hold numbers as well, but small ones.
			if size := w.Box.Size(); dummyMark.MatchString(w.Text) && math.Max(size.W, size.H) > 10 {
				sin, cos := math.Sincos(w.Angle * math.Pi / 180)
				marks = append(marks, paper.Mark{Label: w.Text, At: w.Box.Centre(), Head: geom.Point{X: -sin, Y: cos}})
			}
		}
		pages = append(pages, marks)
	}
	return pages
}

func seenMarks(s virtual.Seen[[]paper.Mark], size geom.Size) []paper.Mark {
	var out []paper.Mark
	for _, m := range s.Image {
		out = append(out, paper.Mark{Label: m.Label, At: s.Place(m.At, size), Head: s.Direction(m.Head)})
	}
	return out
}

// With split spreads the half stands below the number.
func TestDummyNamesHalves(t *testing.T) {
	spreads := pdftest.New(296, 210)
	spreads.AddPage()
	spreads.AddPage()
	source := filepath.Join(t.TempDir(), "spreads.pdf")
	if err := spreads.OutputFileAndClose(source); err != nil {
		t.Fatal(err)
	}
	folder, plan := prepared(t, source, options.Options{Split: options.SplitSpreads, Dummy: true}, setting(t))
	doc := rendertest.Open(t, filepath.Join(folder, plan.Runs[0].Files()[0]))
	words, err := doc.Words(t.Context(), 1)
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, w := range words {
		all.WriteString(w.Text + " ")
	}
	if !strings.Contains(all.String(), "left") || !strings.Contains(all.String(), "right") {
		t.Errorf("the outermost sheet says %s", all.String())
	}
}
