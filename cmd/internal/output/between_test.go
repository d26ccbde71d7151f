package output

import (
	"math"
	"path/filepath"
	"slices"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/sample"
)

// ruled is the mark of what is printed on a panel without a page of the source.
const ruled = "1000"

// TestBlankGatheringsLieBetween puts books with and without blank gatherings through printers, knife and folding: without
// its blank gatherings the one reads as the other, and these stand where they were asked for, with a ruling on every page
// that keeps its margins at the spine and at the head.
func TestBlankGatheringsLieBetween(t *testing.T) {
	t.Parallel()
	type job struct {
		fold          reorder.Fold
		cut           int
		columns, rows int // of panels on a side of a sheet, whose short edge is its head
		bind          reorder.Bind
		after         string
		blank         []int // numbers of the gatherings that are blank then, of a book of three
	}
	var jobs []job
	for _, form := range []job{{reorder.Folio, 1, 1, 2, 0, "", nil}, {reorder.Folio, 2, 2, 2, 0, "", nil}, {reorder.Quarto, 1, 2, 2, 0, "", nil}, {reorder.Octavo, 1, 2, 4, 0, "", nil}} {
		for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight} {
			for _, between := range []job{{after: "0", blank: []int{1}}, {after: "2", blank: []int{3}}, {after: "1,end", blank: []int{2, 5}}, {after: "end,0,3,1", blank: []int{1, 3, 6}}} {
				form.bind, form.after, form.blank = bind, between.after, between.blank
				jobs = append(jobs, form)
			}
		}
	}
	set := setting(t)
	random, printers := sample.Random(t), virtual.All()
	for _, b := range sample.Of(t, jobs, 2, 3, 21) {
		facts := printers[random.IntN(len(printers))]
		o := options.Options{
			Paper: "a3", Fold: b.fold, Cut: b.cut, Bind: b.bind, Printer: profileFile(t, facts), Run: options.Run{Most: 5}, NoSideNames: true,
			Sheets: 1, Marks: options.Marks{Given: true}, Trim: options.Trim{Given: true, Head: 2, Tail: 3, ForeEdge: 4},
		}
		if b.fold == reorder.Folio && b.cut == 1 {
			o.Sheets = 2
		}
		source := printtest.Book(t, 3*o.Form().PagesOf(o.Sheets)-3)
		plain, _ := foldedWithRulings(t, set, source, o, b.columns, b.rows, facts)
		o.Ruling = options.RulingGrid
		if err := o.BlankGatherings.UnmarshalText([]byte(b.after)); err != nil {
			t.Fatal(err)
		}
		laid, gatherings := foldedWithRulings(t, set, source, o, b.columns, b.rows, facts)
		if gatherings != 3+len(b.blank) {
			t.Fatalf("%+v: %d gatherings", b, gatherings)
		}
		for _, f := range laid {
			if !slices.Contains(b.blank, f.Gathering) {
				if len(plain) == 0 || !alike(f, plain[0]) {
					t.Fatalf("%+v, %+v: gathering %d, place %d is not what it is without blank gatherings: %v", b, facts, f.Gathering, f.Place, f.Marks)
				}
				plain = plain[1:]
				continue
			}
			spine, head := math.Inf(1), math.Inf(1)
			for _, m := range f.Marks {
				if m.Label == ruled {
					spine, head = min(spine, m.FromSpine), min(head, m.FromHead)
				}
			}
			// The usual margins of a ruling are 15 mm, and 2 mm are trimmed off at the head.
			if len(f.Marks) != 2 || math.Abs(spine-15) > 0.6 || math.Abs(head-17) > 0.6 {
				t.Fatalf("%+v, %+v: gathering %d, place %d is ruled %.1f mm from the spine and %.1f mm from the head: %v", b, facts, f.Gathering, f.Place, spine, head, f.Marks)
			}
		}
		if len(plain) > 0 {
			t.Fatalf("%+v: %d pages are missing", b, len(plain))
		}
	}
}

// alike tells whether two faces bear the same marks at the same places.
func alike(a, b paper.Face) bool {
	return a.Place == b.Place && a.Recto == b.Recto && slices.EqualFunc(a.Marks, b.Marks, func(m, n paper.Seen) bool {
		return m.Label == n.Label && m.Upright == n.Upright && math.Abs(m.FromSpine-n.FromSpine) < 0.05 && math.Abs(m.FromHead-n.FromHead) < 0.05
	})
}

// foldedWithRulings prepares, prints and folds a book. Its faces bear the marks of their pages, and where a panel shows
// something else two at opposite corners of it.
func foldedWithRulings(t *testing.T, set surrounding, source string, o options.Options, columns, rows int, facts printer.Facts) ([]paper.Face, int) {
	t.Helper()
	folder, _ := preparedFrom(t, o, set, source)
	j, r := printtest.Load(t, folder), new(printtest.Reader)
	for _, run := range j.Runs {
		for _, name := range run.Files() {
			pages := r.Pages(t, filepath.Join(folder, name)) // which are the reader's own
			doc := rendertest.Open(t, filepath.Join(folder, name))
			for i := range pages {
				pages[i].Words = append(pages[i].Words, rulings(t, doc, i+1, pages[i], columns, rows)...)
			}
		}
	}
	how := papertest.Instructions{Cut: o.Cut, Folds: map[reorder.Fold]int{reorder.Folio: 1, reorder.Quarto: 2, reorder.Octavo: 3}[o.Fold], Nest: reorder.Inset, Bind: o.Bind}
	var sizes []int
	for _, g := range j.Gatherings {
		sizes = append(sizes, g.Sheets)
	}
	faces, err := papertest.ReadBook(j.Print(t, r, printtest.Printer(t, facts)), sizes, how)
	if err != nil {
		t.Fatal(err)
	}
	return faces, len(sizes)
}

// rulings marks two opposite corners of what is seen on each panel of a printed page that has no word.
func rulings(t *testing.T, doc *render.Document, number int, page printtest.Page, columns, rows int) (out []render.Word) {
	t.Helper()
	const dpi = 75.0
	picture, err := doc.Gray(t.Context(), number, dpi)
	if err != nil {
		t.Fatal(err)
	}
	wide, high := page.Size.W/float64(columns), page.Size.H/float64(rows)
	for c := range columns {
		for r := range rows {
			panel := geom.Rect{X0: float64(c) * wide, Y0: float64(r) * high, X1: float64(c+1) * wide, Y1: float64(r+1) * high}
			if slices.ContainsFunc(page.Words, func(w render.Word) bool { return w.Origin.Rect().IsWithin(panel, 0) }) {
				continue
			}
			ink := geom.Rect{X0: math.Inf(1), Y0: math.Inf(1), X1: math.Inf(-1), Y1: math.Inf(-1)}
			for y := range picture.Rect.Dy() {
				for x := range picture.Rect.Dx() {
					at := geom.Point{X: (float64(x) + 0.5) * geom.Inch / dpi, Y: page.Size.H - (float64(y)+0.5)*geom.Inch/dpi}
					if picture.GrayAt(x, y).Y < 245 && at.Rect().IsWithin(panel, 0) {
						ink = geom.Rect{X0: min(ink.X0, at.X), Y0: min(ink.Y0, at.Y), X1: max(ink.X1, at.X), Y1: max(ink.Y1, at.Y)}
					}
				}
			}
			if ink.X0 < ink.X1 {
				out = append(out, render.Word{Text: "p" + ruled, Origin: geom.Point{X: ink.X0, Y: ink.Y0}}, render.Word{Text: "p" + ruled, Origin: geom.Point{X: ink.X1, Y: ink.Y1}})
			}
		}
	}
	return out
}
