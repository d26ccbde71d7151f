package output

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer/printertest"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// together opens files that are read one after the other.
func together(t *testing.T, set surrounding, files ...string) *survey.Source {
	t.Helper()
	var opened []*survey.Source
	for _, file := range files {
		s, err := survey.Open(t.Context(), file, set.password, set.engine)
		if err != nil {
			t.Fatal(err)
		}
		opened = append(opened, s)
	}
	all := survey.Together(set.engine, opened...)
	t.Cleanup(func() { all.Close() })
	return all
}

// preparedFrom is [prepared] from several files.
func preparedFrom(t *testing.T, o options.Options, set surrounding, files ...string) (string, plan.Plan) {
	t.Helper()
	resolved, err := o.Resolve(set.Setting)
	if err != nil {
		t.Fatal(err)
	}
	d, err := plan.New(t.Context(), resolved, together(t, set, files...))
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(t.TempDir(), "out")
	made, err := Job{Draft: d}.Write(t.Context(), place, false, silent{})
	if err != nil {
		t.Fatal(err)
	}
	return place, made
}

// TestSeveralFilesMakeOneBook puts three files through printers and folding: every page once, upright, in order, and
// the first of each file on a recto.
func TestSeveralFilesMakeOneBook(t *testing.T) {
	t.Parallel()
	set := setting(t)
	files := []string{printtest.Book(t, 9), printtest.BookFrom(t, 10, 4), printtest.BookFrom(t, 14, 7)}
	r := new(printtest.Reader)
	for _, facts := range printertest.Some(t, 1) {
		folder, made := preparedFrom(t, options.Options{Printer: profileFile(t, facts), Sheets: 2, Run: options.Run{Most: 4}}, set, files...)
		readBook(t, r, folder)
		var places []int
		for _, g := range made.Gatherings {
			places = append(places, g.Pages...)
		}
		want := []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 0, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 0, 0, 0}
		if !slices.Equal(places, want) {
			t.Fatalf("the pages stand %v", places)
		}
		if s := made.Source; s.Pages != 20 || len(s.Parts) != 3 || s.Parts[1].Pages != 4 {
			t.Fatalf("the source is %+v", s)
		}
		for i, p := range made.Source.Parts {
			if sum, err := plan.FileSHA256(files[i]); err != nil || p.SHA256 != sum {
				t.Fatalf("part %d has the digest %s, not %s: %v", i+1, p.SHA256, sum, err)
			}
		}
	}
}

// TestFilesAreFoundAndCompared plans a book of two files again from its folder, and refuses other files and another order.
func TestFilesAreFoundAndCompared(t *testing.T) {
	set := setting(t)
	one, two := printtest.Book(t, 9), printtest.BookFrom(t, 10, 6)
	folder, made := preparedFrom(t, options.Options{}, set, one, two)
	paths, err := plan.FindSources(folder, made.Source)
	if err != nil || len(paths) != 2 || !same(t, paths[0], one) || !same(t, paths[1], two) {
		t.Fatalf("found %q: %v", paths, err)
	}
	d, err := plan.Redraft(t.Context(), folder, made, together(t, set, paths...), set.Version)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := (Job{Draft: d, Folder: "out"}).Reprint(Choice{Pages: options.Pages{{First: 12, Last: 12}}}); err != nil {
		t.Error(err)
	}
	for _, files := range [][]string{{two, one}, {one}, {one, two, two}, {one, one}} {
		if _, err := plan.Redraft(t.Context(), folder, made, together(t, set, files...), set.Version); refusal.Of(err) != refusal.Source {
			t.Errorf("%d files: %v", len(files), err)
		}
	}
	if err := os.Remove(two); err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if _, err := plan.FindSources(folder, made.Source); err == nil || !strings.Contains(err.Error(), filepath.Base(two)) {
		t.Errorf("a file that is gone: %v", err)
	}
}

// TestTheSameFileTwiceIsSaid: also under another name, and once for each time too many.
func TestTheSameFileTwiceIsSaid(t *testing.T) {
	set := setting(t)
	one := printtest.Book(t, 5)
	data, err := os.ReadFile(one)
	other := filepath.Join(t.TempDir(), "other.pdf")
	if err = errors.Join(err, os.WriteFile(other, data, 0o600)); err != nil {
		t.Fatal(err)
	}
	_, made := preparedFrom(t, options.Options{}, set, one, one, other)
	said := strings.Join(made.Warnings, "\n")
	if !strings.Contains(said, one+" was named twice") || !strings.Contains(said, one+" and "+other+" are the same file") {
		t.Errorf("said:\n%s", said)
	}
}

var isNumber = regexp.MustCompile(`^[0-9]+$`)

// TestRunningNumbersStandWhereTheyShould reads the numbers instead of the pages, on printers, in folds and with trimmed leaves.
func TestRunningNumbersStandWhereTheyShould(t *testing.T) {
	t.Parallel()
	set := setting(t)
	files := []string{printtest.Book(t, 9), printtest.BookFrom(t, 10, 6)}
	r := &printtest.Reader{Mark: func(word string) string {
		if isNumber.MatchString(word) {
			return "p" + word
		}
		return ""
	}}
	for i, facts := range printertest.Some(t, 1) {
		o := options.Options{
			Printer: profileFile(t, facts), Sheets: 2, NoSideNames: true, Marks: options.Marks{Given: true}, HalfTitles: true,
			Numbers: reorder.NumbersOuter, NumbersFrom: 5, NumbersSkip: options.Pages{{First: 3, Last: 4}},
			Trim: options.Trim{Given: true, Head: 2, Tail: 3, ForeEdge: 4},
		}
		if i%2 == 1 {
			o.Numbers, o.Fold, o.Bind = reorder.NumbersCentre, reorder.Quarto, reorder.BindRight
		}
		folder, made := preparedFrom(t, o, set, files...)
		j := printtest.Load(t, folder)
		var want []int // the number at each place
		for _, g := range made.Gatherings {
			for _, page := range g.Pages {
				number := o.NumbersFrom + len(want)
				if page == 0 || page == 3 || page == 4 || page > made.Source.Pages {
					number = 0
				}
				want = append(want, number)
			}
		}
		for n := range j.Gatherings {
			j.Gatherings[n].Pages = want[:len(j.Gatherings[n].Pages)]
			want = want[len(j.Gatherings[n].Pages):]
		}
		leaf := made.Paper.H / 2
		high := made.Paper.W
		if o.Fold == reorder.Quarto {
			leaf, high = made.Paper.W/2, made.Paper.H/2
		}
		numbered := 0
		for _, f := range j.Faces(t, j.Print(t, r, printtest.Printer(t, facts))) {
			for _, m := range f.Marks {
				numbered++
				width := 3.2 * 0.556 * float64(len(m.Label))
				recto := f.Place%2 == 1
				at := leaf - 4 - 12 // the end of the number at the fore-edge, from the spine
				if recto {
					at -= width
				}
				if o.Numbers == reorder.NumbersCentre {
					at = (leaf - 4) / 2
					if recto != (o.Bind == reorder.BindRight) {
						at -= width / 2
					} else {
						at += width / 2
					}
				}
				if d := m.FromSpine - at; d > 0.1 || d < -0.1 {
					t.Fatalf("number %s at place %d stands %.2f mm from the spine, not %.2f", m.Label, f.Place, m.FromSpine, at)
				}
				if d := high - 3 - 9 - m.FromHead; d > 0.1 || d < -0.1 {
					t.Fatalf("number %s stands %.2f mm from the head of a leaf of %.1f", m.Label, m.FromHead, high)
				}
			}
		}
		if numbered != 13 {
			t.Fatalf("%d numbers are printed", numbered)
		}
	}
}

// TestNumbersOnPrintAreSaid: a page's own number stands where the running one does.
func TestNumbersOnPrintAreSaid(t *testing.T) {
	var pages [][2]string
	for i := range 8 {
		text := printtest.Word("lamp", 100, 300)
		if i == 4 {
			text += printtest.Word("5", 210, 28)
		}
		pages = append(pages, [2]string{"/MediaBox[0 0 420 595]", text})
	}
	set := setting(t)
	_, made := prepared(t, printtest.RawBook(t, "", pages...), options.Options{Numbers: reorder.NumbersCentre, Paper: "a4"}, set)
	at := slices.IndexFunc(made.Warnings, func(w string) bool { return strings.Contains(w, "the running number stands on print") })
	if at < 0 || !strings.HasPrefix(made.Warnings[at], "page 5:") {
		t.Errorf("said: %q", made.Warnings)
	}
}

// TestHalfTitlesAreTitles reads the half-titles of two files without a title, which bear their names.
func TestHalfTitlesAreTitles(t *testing.T) {
	set := setting(t)
	titled := printtest.Book(t, 3)
	folder, made := preparedFrom(t, options.Options{HalfTitles: true}, set, titled, printtest.BookFrom(t, 4, 2))
	if made.Source.Made != 2 || !slices.Equal(made.Gatherings[0].Pages[:8], []int{6, 0, 1, 2, 3, 0, 7, 0}) {
		t.Fatalf("%+v", made.Gatherings)
	}
	words := 0
	for _, run := range made.Runs {
		for _, name := range run.Files() {
			for _, page := range new(printtest.Reader).Pages(t, filepath.Join(folder, name)) {
				for _, w := range page.Words {
					if w.Text == strings.TrimSuffix(filepath.Base(titled), ".pdf") {
						words++
					}
				}
			}
		}
	}
	if words != 2 {
		t.Errorf("the half-title stands on %d pages", words)
	}
}
