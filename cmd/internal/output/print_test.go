package output

import (
	"maps"
	"math"
	"regexp"
	"strings"
	"testing"

	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// The picture of the top sheet shows what the print files hold, read back with PDFium: every
// page in its panel, head to the same side, nothing else, and the side name where its line is
// drawn. What is to be read on the first and the last sheet of each pass is there.
func TestPicturesShowWhatIsPrinted(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	compared := 0
	for _, o := range []options.Options{
		{Sheets: 3},
		{Fold: reorder.Quarto, Cut: 2, Run: options.Run{Most: 2}},
		{Fold: reorder.Octavo, Bind: reorder.BindTop},
		{Cut: 2, Pieces: 3},
		{Cut: 16, Pieces: 3}, // half the sheet is spare
		{Fold: reorder.Sixteenmo, Bind: reorder.BindRight},
		{Fold: reorder.Duodecimo},
		{Fold: reorder.Loose, CopiesAcross: true},
		{Fold: reorder.Pouch},
		{Fold: reorder.Concertina},
		{Sheets: 3, NoSideNames: true},
		{Fold: reorder.Octavo, NoSideNames: true},
	} {
		for _, o.Printer = range []string{"by-hand-short", "by-hand-face-up-long", "automatic-short"} {
			folder, d := handworked(t, source, o, set)
			sheet := d.RunSheet()
			for i, run := range d.Runs {
				for k, f := range run.Passes {
					pages := r.Pages(t, folder+"/"+f.Name)
					first, last := 0, len(pages)-1
					if f.Pass == printer.BothPass {
						last--
					}
					told := sheet.Runs[i].Files[k]
					sameShown(t, told.FirstOut, pages[first])
					sameShown(t, told.LastOut, pages[last])
					for n, image := range f.Images {
						if image.Sheet == 1 {
							top := map[reorder.Side]drawing.Print{reorder.Front: sheet.Runs[i].Top.Front, reorder.Back: sheet.Runs[i].Top.Back}[image.Side]
							samePrint(t, d, top, pages[n], image)
							compared++
						}
					}
				}
			}
		}
	}
	if compared < 50 {
		t.Errorf("%d pictures compared", compared)
	}
}

// sameShown compares what is to be read on a side with a page of a print file.
func sameShown(t *testing.T, shown string, page printtest.Page) {
	t.Helper()
	if name := page.Name(); name != "" {
		if !strings.HasPrefix(shown, name+" ") {
			t.Errorf("%q is said of a side named %q", shown, name)
		}
		return
	}
	want := map[string]bool{}
	for _, m := range page.Marks() {
		want[m.Label] = true
	}
	got := map[string]bool{}
	for _, number := range regexp.MustCompile(`\d+`).FindAllString(shown, -1) {
		got[number] = true
	}
	if !maps.Equal(got, want) {
		t.Errorf("%q is said of a side with %v", shown, want)
	}
}

// samePrint compares a picture with a page of a print file.
func samePrint(t *testing.T, d Job, p drawing.Print, page printtest.Page, image printer.Image) {
	t.Helper()
	turn := func(at geom.Point) geom.Point { return at }
	sign := 1.0
	if image.HalfTurn {
		turn, sign = geom.HalfTurn(page.Size).Apply, -1
	}
	marks := page.Marks()
	found := 0
	for _, panel := range p.Panels {
		for _, m := range marks {
			at := turn(m.At)
			if at.X < panel.Rect.X0 || at.X > panel.Rect.X1 || at.Y < panel.Rect.Y0 || at.Y > panel.Rect.Y1 {
				continue
			}
			found++
			head := map[geom.Towards]geom.Point{geom.Up: {Y: 1}, geom.Left: {X: -1}, geom.Down: {Y: -1}, geom.Right: {X: 1}}[panel.Head]
			if m.Label != panel.Page || sign*(head.X*m.Head.X+head.Y*m.Head.Y) < 0.99 {
				t.Errorf("%+v: %s is drawn where page %s stands, its head along %v", d.Book.Form, panel, m.Label, m.Head)
			}
		}
	}
	drawn := 0
	for _, panel := range p.Panels {
		if panel.Page != "" {
			drawn++
		}
	}
	if found != len(marks) || drawn != len(marks) {
		t.Errorf("%+v: %d pages are drawn, %d stand there, %d of them in panels", d.Book.Form, drawn, len(marks), found)
	}
	for _, l := range p.Names {
		near := false
		for _, w := range page.Words {
			at := turn(w.Origin)
			near = near || strings.HasPrefix(w.Text, "sheet") && math.Hypot(at.X-l.From.X, at.Y-l.From.Y) < 1.5
		}
		if !near {
			t.Errorf("%+v: no side name begins at %v", d.Book.Form, l.From)
		}
	}
}
