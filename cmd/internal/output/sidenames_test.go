package output

import (
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// keptClear is the edges, in mm, that printers of all kinds cannot reach: none, those of most,
// and those of ink printers at the tail and of some with a straight way for the paper.
var keptClear = []float64{0, 4.2, 12.7, 16.9}

// band is the rectangle around a line along one of the axes, so wide to its left and
// to its right.
func band(from, to geom.Point, left, right float64) geom.Rect {
	along := to.Minus(from).Unit()
	up := geom.Point{X: -along.Y, Y: along.X}
	r := from.Plus(up.Times(left)).Rect()
	for _, p := range []geom.Point{from.Plus(up.Times(-right)), to.Plus(up.Times(left)), to.Plus(up.Times(-right))} {
		r = r.Around(p.Rect())
	}
	return r
}

// nameBox is the rectangle of a side name, with the parts of letters above and below.
func nameBox(from, to geom.Point) geom.Rect {
	const above, below = (0.74 - 0.36) * plan.NameSize, (0.36 + 0.22) * plan.NameSize // of Helvetica, from its AFM file
	return band(from, to, above, below)
}

// markBox is the rectangle of a mark with the width of its pen.
func markBox(m reorder.Mark) geom.Rect {
	const pen = 0.15
	r := m.Points[0].Rect()
	for _, p := range m.Points {
		r = r.Around(p.Rect())
	}
	if m.Kind == reorder.SignMark {
		end := m.Points[0].Plus(m.Along.Times(pdf.TextWidth(m.Text, pdf.HelveticaBold, reorder.SignSize)))
		return band(m.Points[0], end, 0.73*reorder.SignSize, 0.02)
	}
	return r.Inset(-pen, -pen, -pen, -pen)
}

// TestSideNamesStandClearOfEveryMark on every side of every form, whatever edge
// the printer cannot reach: they are 6 pt, and the printer reaches all of them.
func TestSideNamesStandClearOfEveryMark(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 20)
	forms := formOptions()
	named := 0
	for at, o := range sample.Of(t, forms, 1, hardForms(forms)...) {
		o.Printer, o.Marks = "by-hand-short", options.UsualMarks
		if at%2 == 0 && o.Fold != reorder.Concertina && o.Fold != reorder.Pouch {
			o.Trim = options.Trim{Given: true, Head: 3, Tail: 3, ForeEdge: 3}
		}
		for _, edge := range keptClear {
			mm := options.Length(edge)
			o.KeepClear = options.Edges{Given: true, Head: mm, Tail: mm, Left: mm, Right: mm}
			d, err := draftOf(t.Context(), source, o, setting(t))
			if err != nil {
				t.Fatalf("%+v: %v", o, err)
			}
			n := namesAreClear(t, d, edge)
			if length := d.Book.Form.Bind.TurnToSide(d.Book.PanelSize()).H; n == 0 && length > 75 {
				t.Errorf("%s cut in %d, %g mm kept clear: no names on folds of %.1f mm", o.Fold, o.Cut, edge, length)
			}
			named += n
		}
	}
	if named < 300 {
		t.Errorf("%d names", named)
	}
}

// namesAreClear looks at every name of a job, and counts them.
func namesAreClear(t *testing.T, d Job, edge float64) (named int) {
	t.Helper()
	reach := d.Paper.Size.Rect().Inset(edge, edge, edge, edge)
	for _, run := range d.Runs {
		for i := range run.Sheets {
			s := d.Sheet(run, i+1).Sheet
			for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
				for k, piece := range s.Pieces {
					panels := s.On(side, k+1)
					if len(panels) == 0 || !d.HasNames() {
						continue
					}
					name := d.PieceName(run, i+1, side, piece)
					from, to := d.NameSpan(name, panels)
					box := nameBox(from, to)
					named++
					if width := pdf.TextWidth(name, pdf.Helvetica, 6*25.4/72); to.Minus(from).Length() < width-1e-9 {
						t.Fatalf("%s %d: %q is written smaller than 6 pt", d.Options.Fold, d.Options.Cut, name)
					}
					// On a concertina the strip that is glued over may be narrower than what is kept clear.
					if !box.IsWithin(reach, 1e-6) && !d.Options.Form().Fold.Scheme().Strip {
						t.Fatalf("%s %d on %s, %g mm kept clear: %q stands at %v", d.Options.Fold, d.Options.Cut, d.Paper.Name, edge, name, box)
					}
					for _, m := range d.Marks[s.Number] {
						if c := markBox(m).Common(box); m.Side == side && c.X0 < c.X1 && c.Y0 < c.Y1 {
							t.Fatalf("%s %d, %s, %s, bound at the %s, on %s, %g mm kept clear, sheet %d: a mark of kind %d at %v in %q at %v",
								d.Options.Fold, d.Options.Cut, d.Options.Nest, side, d.Options.Bind, d.Paper.Name, edge, s.Number, m.Kind, m.Points, name, box)
						}
					}
				}
			}
		}
	}
	return named
}

// TestNothingDarkRunsThroughASideName looks at the printed pages: names are grey, and what stands
// in one would be darker.
func TestNothingDarkRunsThroughASideName(t *testing.T) {
	t.Parallel()
	o := options.Options{
		Printer: "by-hand-long", Marks: options.UsualMarks,
		KeepClear: options.Edges{Given: true, Head: 12.7, Tail: 12.7, Left: 12.7, Right: 12.7},
	}
	source := printtest.Book(t, 4)
	d, err := draftOf(t.Context(), source, o, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	folder, made := prepared(t, source, o, setting(t))
	const dpi = 600 // at which the thinnest line is as dark as its ink
	for k, file := range made.Runs[0].Files() {
		doc := rendertest.Open(t, filepath.Join(folder, file))
		for i, image := range d.Runs[0].Passes[k].Images {
			g, err := doc.Gray(t.Context(), i+1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			from, to := d.NameSpan(d.SideName(d.Runs[0], image.Sheet, image.Side), d.Sheet(d.Runs[0], image.Sheet).Sheet.Side(image.Side))
			box := nameBox(from, to)
			px := func(mm float64) int { return int(mm * dpi / 25.4) }
			grey, dark := 0, 0
			for x := px(box.X0); x < px(box.X1); x++ {
				for y := px(d.Paper.Size.H - box.Y1); y < px(d.Paper.Size.H-box.Y0); y++ {
					switch v := g.GrayAt(x, y).Y; {
					case v < 120:
						dark++
					case v < 200:
						grey++
					}
				}
			}
			if dark > 0 || grey < 1000 {
				t.Errorf("%s, sheet %d, %s: %d dark pixels and %d grey ones in the name", file, image.Sheet, image.Side, dark, grey)
			}
		}
	}
}

// TestSideNamesTellAHalfTurn: on the fronts of all sheets that are laid on each other
// names begin at the same end of the same line, so that a sheet that is turned half round is
// seen by them.
func TestSideNamesTellAHalfTurn(t *testing.T) {
	source := printtest.Book(t, 50)
	forms := formOptions()
	for _, o := range sample.Of(t, forms, 1, hardForms(forms)...) {
		o.Printer = "by-hand-short"
		d, err := draftOf(t.Context(), source, o, setting(t))
		if err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		var first [2]geom.Point // where the name of the first sheet lies, and its direction
		for _, run := range d.Runs {
			for i := range run.Sheets {
				panels := d.Sheet(run, i+1).Sheet.On(reorder.Front, 1)
				if len(panels) == 0 || !d.HasNames() {
					continue
				}
				from, to := d.NameSpan(d.SideName(run, i+1, reorder.Front), panels)
				way := to.Minus(from).Unit()
				if run.Number == 1 && i == 0 {
					first = [2]geom.Point{from, way}
				}
				across := geom.Point{X: from.Minus(first[0]).X * way.Y, Y: from.Minus(first[0]).Y * way.X}
				if way.Minus(first[1]).Length() > 1e-6 || across.Length() > 1e-6 {
					t.Fatalf("%s %d, %s, %s: the name of sheet %d begins at %v towards %v, that of the first at %v", o.Fold, o.Cut, o.Nest, o.Bind, d.Sheet(run, i+1).Sheet.Number, from, way, first)
				}
			}
		}
	}
}
