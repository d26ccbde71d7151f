package output

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"go.yaml.in/yaml/v3"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// checkFace is what a page of a check file carries.
type checkFace map[string]render.Word

// printedCheck prints the trial sheet of a folder on a printer of its profile.
func printedCheck(t *testing.T, folder string, made plan.Plan) virtual.Finished[checkFace] {
	t.Helper()
	names := []string{"check-front.pdf", "check-back.pdf"}
	if made.Profile.TwoSided == printer.Automatic {
		names = []string{"check-both.pdf"}
	}
	var files [][]checkFace
	for _, name := range names {
		if !slices.ContainsFunc(made.Files, func(f plan.Entry) bool { return f.Name == name }) {
			t.Fatalf("%s is not in the plan", name)
		}
		doc := rendertest.Open(t, filepath.Join(folder, name))
		var pages []checkFace
		for page := 1; page <= doc.Pages(); page++ {
			words, err := doc.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			face := checkFace{}
			for _, w := range words {
				if w.Text == "A" || w.Text == "B" || w.Text == "front" || w.Text == "back" {
					if _, twice := face[w.Text]; !twice || w.Text == "A" || w.Text == "B" {
						if twice {
							t.Errorf("%s: two marks %s", name, w.Text)
						}
						face[w.Text] = w
					}
				}
			}
			pages = append(pages, face)
		}
		files = append(files, pages)
	}
	p, err := virtual.New[checkFace](made.Profile.Facts)
	if err != nil {
		t.Fatal(err)
	}
	done, err := p.Make(files...)
	if err != nil {
		t.Fatal(err)
	}
	if len(done) != 1 {
		t.Fatalf("%d check sheets", len(done))
	}
	return done[0]
}

// agree looks at the finished trial sheet: every mark of the front lies over
// the same mark of the back. spoil moves a point of the file to where the
// printer's own errors put it; shifted moves a point of the back on the sheet.
func agree(t *testing.T, made plan.Plan, s virtual.Finished[checkFace], spoil func(reorder.Side, geom.Point) geom.Point, shifted func(geom.Point) geom.Point) {
	t.Helper()
	paper := made.Paper.Paper
	check := testsheet.CheckSheet{Paper: paper, Backs: true}
	if _, ok := s.Front.Image["front"]; !ok {
		t.Fatalf("the front carries %v", s.Front.Image)
	}
	if _, ok := s.Back.Image["back"]; !ok {
		t.Fatalf("the back carries %v", s.Back.Image)
	}
	for _, name := range testsheet.CheckMarks {
		front := s.Front.Place(spoil(reorder.Front, middle(s.Front.Image[name])), paper.Size)
		back := shifted(s.Back.Place(spoil(reorder.Back, middle(s.Back.Image[name])), paper.Size))
		if math.Abs(front.X-(paper.Size.W-back.X)) > 0.05 || math.Abs(front.Y-back.Y) > 0.05 {
			t.Errorf("%s: mark %s lies at %.2f, %.2f and on the back at %.2f, %.2f", made.Profile.Name, name, front.X, front.Y, back.X, back.Y)
		}
	}
	// The letters stand beside their marks, so the letters' distance is the marks'.
	a, b := spoil(reorder.Front, middle(s.Front.Image["A"])), spoil(reorder.Front, middle(s.Front.Image["B"]))
	want := check.Mark(0, reorder.Front).Y - check.Mark(1, reorder.Front).Y
	if got := a.Y - b.Y; math.Abs(got-want) > 0.05 {
		t.Errorf("%s: the marks are %.2f mm apart, should be %.2f", made.Profile.Name, got, want)
	}
}

// middle is where the middle of a mark's letter was meant to be: the glyph
// itself is not symmetrical.
func middle(w render.Word) geom.Point {
	const size, capitals = 8, 0.718 // of Helvetica, Adobe's AFM files
	sin, cos := math.Sincos(w.Angle * math.Pi / 180)
	half := pdf.TextWidth(w.Text, pdf.HelveticaBold, size) / 2
	up := size * capitals / 2
	return geom.Point{X: w.Origin.X + half*cos - up*sin, Y: w.Origin.Y + half*sin + up*cos}
}

func unspoilt(_ reorder.Side, p geom.Point) geom.Point { return p }
func unshifted(p geom.Point) geom.Point                { return p }

func TestCheckSheetAgreesOnEveryPrinter(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 4)
	set := setting(t)
	for _, name := range profiles.Builtin() {
		folder, made := prepared(t, source, options.Options{Printer: name}, set)
		agree(t, made, printedCheck(t, folder, made), unspoilt, unshifted)
	}
	for _, f := range printertest.Some(t, 1) {
		folder, made := prepared(t, source, options.Options{Printer: profileFile(t, f)}, set)
		agree(t, made, printedCheck(t, folder, made), unspoilt, unshifted)
	}
}

// A printer with errors prints the trial sheet true if its profile knows them.
func TestCheckSheetIsCorrected(t *testing.T) {
	source := printtest.Book(t, 4)
	set := setting(t)
	registration := printer.Registration{Both: printer.Shift{Right: 1.5, Up: -0.75}, Back: printer.Shift{Right: -2, Up: 1.25}}
	scale := printer.Scalings{Front: printer.Scaling{Across: 1.004, Along: 0.997}, Back: printer.Scaling{Across: 0.994, Along: 1.006}}
	for _, f := range printertest.Some(t, 1) {
		if f.Reload != 0 && f != printer.Usual && f.FlipEdge == printer.ShortEdge {
			continue // one with a turn and all without are enough
		}
		data, err := yaml.Marshal(profiles.Profile{Format: profiles.Format, Name: "skewed", Facts: f, Registration: registration, Scale: scale})
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "skewed.yaml")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		folder, made := prepared(t, source, options.Options{Printer: path}, set)
		centre := geom.Point{X: made.Paper.W / 2, Y: made.Paper.H / 2}
		spoil := func(side reorder.Side, p geom.Point) geom.Point {
			by := scale.Front
			if side == reorder.Back {
				by = scale.Back
			}
			return geom.Point{
				X: centre.X + (p.X-centre.X)*by.Across + registration.Both.Right,
				Y: centre.Y + (p.Y-centre.Y)*by.Along + registration.Both.Up,
			}
		}
		// Seen through from the front the back lies to the right; looked at, to the left.
		shifted := func(p geom.Point) geom.Point {
			return geom.Point{X: p.X - registration.Back.Right, Y: p.Y + registration.Back.Up}
		}
		agree(t, made, printedCheck(t, folder, made), spoil, shifted)
	}
}
