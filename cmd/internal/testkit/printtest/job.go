package printtest

import (
	"math"
	"path/filepath"
	"regexp"
	"testing"

	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
)

// Job is a job's folder and its plan, by which it is printed and folded.
type Job struct {
	Folder string
	plan.Plan
}

// Load reads a job's plan.
func Load(t testing.TB, folder string) Job {
	t.Helper()
	made, err := plan.Read(folder)
	if err != nil {
		t.Fatal(err)
	}
	return Job{folder, made}
}

// Size is the size of the job's sheets.
func (j Job) Size() geom.Size { return j.Paper.Size }

// Printer is a virtual printer of the given facts.
func Printer(t testing.TB, facts printer.Facts) *virtual.Printer[Page] {
	t.Helper()
	p, err := virtual.New[Page](facts)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Print prints every run and returns the finished stack from the top.
func (j Job) Print(t testing.TB, r *Reader, p *virtual.Printer[Page]) []paper.Sheet {
	t.Helper()
	var stack []paper.Sheet
	for _, run := range j.Runs {
		var files [][]Page
		for _, name := range run.Files() {
			pages := r.Pages(t, filepath.Join(j.Folder, name))
			for i, page := range pages {
				if math.Abs(page.Size.W-j.Paper.W) > 0.01 || math.Abs(page.Size.H-j.Paper.H) > 0.01 {
					t.Fatalf("%s, page %d is %v, the paper is %v", name, i+1, page.Size, j.Paper)
				}
			}
			files = append(files, pages)
		}
		if len(files) == 2 && len(files[0]) != len(files[1]) {
			t.Fatalf("run %d has %d fronts and %d backs", run.Number, len(files[0]), len(files[1]))
		}
		done, err := p.Make(files...)
		if err != nil {
			t.Fatal(err)
		}
		if len(done) != run.Sheets {
			t.Fatalf("run %d has %d sheets, not %d", run.Number, len(done), run.Sheets)
		}
		for _, s := range done {
			stack = append(stack, Printed(j.Size(), s))
		}
	}
	return stack
}

// PageMark is the text of a mark.
var PageMark = regexp.MustCompile(`^p([0-9]+)$`)

// Marks are the book's marks on a page of a print file.
func (p Page) Marks() []paper.Mark {
	var out []paper.Mark
	for _, w := range p.Words {
		if m := PageMark.FindStringSubmatch(w.Text); m != nil {
			sin, cos := math.Sincos(w.Angle * math.Pi / 180)
			out = append(out, paper.Mark{Label: m[1], At: w.Origin, Head: geom.Point{X: -sin, Y: cos}})
		}
	}
	return out
}

// marks are the same on a printed side, where they have come to lie.
func marks(side virtual.Seen[Page]) []paper.Mark {
	out := side.Image.Marks()
	for i, m := range out {
		out[i].At, out[i].Head = side.Place(m.At, side.Image.Size), side.Direction(m.Head)
	}
	return out
}

// foldsOf is how often a piece is folded, of the folds that halve it.
var foldsOf = map[reorder.Fold]int{reorder.Folio: 1, reorder.Quarto: 2, reorder.Octavo: 3, reorder.Sixteenmo: 4}

// Faces cuts and folds the stack and checks that the book reads as planned:
// every page once, upright, in its place.
func (j Job) Faces(t testing.TB, stack []paper.Sheet) []paper.Face {
	t.Helper()
	how := papertest.Instructions{Cut: j.Options.Cut, Folds: foldsOf[j.Options.Fold], Nest: reorder.Inset, Bind: reorder.BindLeft}
	if j.Options.Bind == reorder.BindRight {
		how.Bind = reorder.BindRight
	}
	var sizes, pages []int
	for _, g := range j.Gatherings {
		sizes = append(sizes, g.Sheets)
		pages = append(pages, g.Pages...)
	}
	faces, err := papertest.ReadBook(stack, sizes, how)
	if err != nil {
		t.Fatal(err)
	}
	if err := papertest.Check(faces, papertest.Labels(pages)); err != nil {
		t.Fatalf("%+v: %v", j.Profile.Facts, err)
	}
	return faces
}

// Read does what [Job.Faces] does, and checks that every page's mark stands within the
// given millimetres of where the page has it.
func (j Job) Read(t testing.TB, stack []paper.Sheet, within float64) {
	t.Helper()
	for i, f := range j.Faces(t, stack) {
		for _, m := range f.Marks {
			// The page's spine edge lies on the fold: the mark's base line
			// begins at MarkX from the left edge, which is the spine edge of
			// rectos in a book bound at the left.
			recto := i%2 == 0
			want := MarkX * j.Scale
			if recto == (j.Options.Bind == reorder.BindRight) {
				want = (PageWidth - MarkX) * j.Scale
			}
			if math.Abs(m.FromSpine-want) > within || math.Abs(m.FromHead-MarkY*j.Scale) > within {
				t.Fatalf("page %s stands %.2f mm from the spine and %.2f from the head, want %.2f and %.2f",
					m.Label, m.FromSpine, m.FromHead, want, MarkY*j.Scale)
			}
		}
	}
}

// Printed is a finished sheet as a sheet of paper.
func Printed(size geom.Size, s virtual.Finished[Page]) paper.Sheet {
	return paper.Sheet{Size: size, Front: marks(s.Front), Back: marks(s.Back)}
}
