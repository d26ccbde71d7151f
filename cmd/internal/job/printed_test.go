package job

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"go.yaml.in/yaml/v3"

	"foldwright/cmd/internal/render/rendertest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/paper"
)

type silent struct{}

func (silent) Step(int) {}

// Every page of the marked book carries its number at this place, in mm from
// the page's upper left corner: off every axis of symmetry.
const (
	markX = 31.0
	markY = 23.0
)

// markedBook writes a book of A5 pages with one text mark each.
func markedBook(t *testing.T, pages int) string {
	t.Helper()
	doc := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: 148, Ht: 210}})
	doc.SetFont("Helvetica", "", 14)
	for i := 1; i <= pages; i++ {
		doc.AddPage()
		doc.Text(markX, markY, fmt.Sprintf("p%d", i))
	}
	path := filepath.Join(t.TempDir(), "marked.pdf")
	if err := doc.OutputFileAndClose(path); err != nil {
		t.Fatal(err)
	}
	return path
}

// setting is a job's surroundings in a test.
func setting(t *testing.T) Setting {
	t.Helper()
	engine := new(Engine)
	t.Cleanup(func() {
		if err := engine.Close(); err != nil {
			t.Error(err)
		}
	})
	return Setting{Profiles: profiles.Store{}, Region: "GB", Version: "test", Engine: engine}
}

// prepared writes a job's folder and returns it with its plan.
func prepared(t *testing.T, source string, o Options, set Setting) (string, Plan) {
	t.Helper()
	d, err := NewDraft(t.Context(), source, o, set)
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	place := filepath.Join(t.TempDir(), "out")
	plan, err := d.Write(t.Context(), place, false, silent{})
	if err != nil {
		t.Fatal(err)
	}
	return place, plan
}

// profileFile writes a profile of the given facts.
func profileFile(t *testing.T, f printer.Facts) string {
	t.Helper()
	data, err := yaml.Marshal(profiles.Profile{Format: profiles.Format, Name: "test", Facts: f})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "printer.yaml")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

var pageMark = regexp.MustCompile(`^p([0-9]+)$`)

// reader reads the marks on the pages of print files. Files of the same bytes
// are read once.
type reader map[string][][]paper.Mark

func (r reader) marks(t *testing.T, folder string, plan Plan, name string) [][]paper.Mark {
	t.Helper()
	i := slices.IndexFunc(plan.Files, func(f PlanFileEntry) bool { return f.Name == name })
	digest := plan.Files[i].SHA256
	if r[digest] != nil {
		return r[digest]
	}
	doc := rendertest.Open(t, filepath.Join(folder, name))
	var pages [][]paper.Mark
	for page := 1; page <= doc.Pages(); page++ {
		size, err := doc.Size(context.Background(), page)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(size.W-plan.Paper.WidthMM) > 0.01 || math.Abs(size.H-plan.Paper.HeightMM) > 0.01 {
			t.Fatalf("%s, page %d is %v, the paper is %v", name, page, size, plan.Paper)
		}
		words, err := doc.Words(context.Background(), page)
		if err != nil {
			t.Fatal(err)
		}
		marks := []paper.Mark{}
		for _, w := range words {
			if m := pageMark.FindStringSubmatch(w.Text); m != nil {
				sin, cos := math.Sincos(w.Angle * math.Pi / 180)
				marks = append(marks, paper.Mark{Label: m[1], At: w.Origin, Head: reorder.Point{X: -sin, Y: cos}})
			}
		}
		pages = append(pages, marks)
	}
	r[digest] = pages
	return pages
}

// printAll prints every run on the virtual printer and returns the finished
// stack from the top.
func printAll(t *testing.T, r reader, folder string, plan Plan) []paper.Sheet {
	t.Helper()
	size := reorder.Size{W: plan.Paper.WidthMM, H: plan.Paper.HeightMM}
	p, err := virtual.New[[]paper.Mark](plan.Profile.Facts)
	if err != nil {
		t.Fatal(err)
	}
	seen := func(s virtual.Seen[[]paper.Mark]) []paper.Mark {
		var marks []paper.Mark
		for _, m := range s.Image {
			marks = append(marks, paper.Mark{Label: m.Label, At: s.Place(m.At, size), Head: s.Direction(m.Head)})
		}
		return marks
	}
	var stack []paper.Sheet
	for _, run := range plan.Runs {
		var files [][][]paper.Mark
		for _, name := range run.Files {
			files = append(files, r.marks(t, folder, plan, name))
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
			stack = append(stack, paper.Sheet{Size: size, Front: seen(s.Front), Back: seen(s.Back)})
		}
	}
	return stack
}

// readBook folds the stack and checks the book against the plan's pages, and
// that every mark stands where its page has it.
func readBook(t *testing.T, stack []paper.Sheet, plan Plan) {
	t.Helper()
	how := paper.Instructions{Cut: plan.Cut, Folds: 1, Nest: paper.Inset, Bind: paper.BindLeft}
	if plan.Bind == reorder.BindRight {
		how.Bind = paper.BindRight
	}
	var sizes, pages []int
	for _, g := range plan.Gatherings {
		sizes = append(sizes, g.Sheets)
		pages = append(pages, g.Pages...)
	}
	faces, err := paper.ReadBook(stack, sizes, how)
	if err != nil {
		t.Fatal(err)
	}
	if err := paper.Check(faces, paper.Labels(pages)); err != nil {
		t.Fatalf("%+v: %v", plan.Profile.Facts, err)
	}
	for i, f := range faces {
		for _, m := range f.Marks {
			// The page's spine edge lies on the fold: the mark's base line
			// begins at markX from the left edge, which is the spine edge of
			// rectos in a book bound at the left.
			recto := i%2 == 0
			want := markX * plan.Scale
			if recto == (plan.Bind == reorder.BindRight) {
				want = (148 - markX) * plan.Scale
			}
			if math.Abs(m.FromSpine-want) > 0.1 || math.Abs(m.FromHead-markY*plan.Scale) > 0.1 {
				t.Fatalf("page %s stands %.2f mm from the spine and %.2f from the head, want %.2f and %.2f",
					m.Label, m.FromSpine, m.FromHead, want, markY*plan.Scale)
			}
		}
	}
}

// TestPrintFilesMakeTheBookOnEveryPrinter reads the prepared PDF files back
// with PDFium, puts them through a virtual printer and virtual folding, for
// all 144 printers, and expects pages 1..n upright where they belong.
func TestPrintFilesMakeTheBookOnEveryPrinter(t *testing.T) {
	source := markedBook(t, 29)
	set := setting(t)
	r := reader{}
	for _, facts := range virtual.All() {
		o := Options{Printer: profileFile(t, facts), Sheets: 3, Run: Run{Most: 6}}
		folder, plan := prepared(t, source, o, set)
		if len(plan.Runs) != 2 || plan.Sheets != 8 {
			t.Fatalf("%d runs with %d sheets, want 2 with 8", len(plan.Runs), plan.Sheets)
		}
		readBook(t, printAll(t, r, folder, plan), plan)
	}
	t.Logf("144 printers, %d different files", len(r))
}

func TestBookBoundAtTheRight(t *testing.T) {
	source := markedBook(t, 16)
	for _, name := range profiles.Builtin() {
		folder, plan := prepared(t, source, Options{Printer: name, Bind: reorder.BindRight}, setting(t))
		readBook(t, printAll(t, reader{}, folder, plan), plan)
	}
}

// TestTrialGathering prints one gathering and finds it to be that of the book.
func TestTrialGathering(t *testing.T) {
	source := markedBook(t, 40)
	folder, plan := prepared(t, source, Options{OnlyGathering: 2, Sheets: 4}, setting(t))
	if len(plan.Gatherings) != 1 || plan.Gatherings[0].Number != 2 || plan.Gatherings[0].FirstSheet != 5 {
		t.Fatalf("the plan holds %+v", plan.Gatherings)
	}
	readBook(t, printAll(t, reader{}, folder, plan), plan)
}
