package benchsheet

import (
	"bytes"
	"image"
	"math"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

const dpi = 300

// sheetOf measures a book of the given leaf with a built-in structure.
func sheetOf(t *testing.T, u binding.Units, name string, leaf geom.Size, trim reorder.Trim, m binding.Measured) binding.Sheet {
	t.Helper()
	rules, err := structure.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	book := binding.Book{Leaf: leaf, Trim: trim, Leaves: 160, Gatherings: 20, Sheets: 80, Caliper: reorder.OfficeCaliper, CaliperOf: "office paper", Paper: "iso_a4_210x297mm"}
	if rules.Sewn == binding.OneFold {
		book.Gatherings = 1
	}
	sheet, err := binding.Measure(book, binding.Options{Structure: rules, Measured: m, Units: u})
	if err != nil {
		t.Fatal(err)
	}
	return sheet
}

func drawn(t *testing.T, paper geom.Size, sides []pdf.Side) *render.Document {
	t.Helper()
	var b bytes.Buffer
	if err := pdf.Write(t.Context(), &b, pdf.PrintFile{Paper: paper, Sides: sides}); err != nil {
		t.Fatal(err)
	}
	return rendertest.OpenBytes(t, "drawn.pdf", b.Bytes())
}

// linesAcross is where dark lines cross the upright through x, in mm from the
// picture's lower edge, from the top: the middle of the darkness of each.
func linesAcross(picture *image.Gray, x float64) []float64 {
	const mm = 25.4 / dpi
	column, height := int(x/mm), picture.Bounds().Dy()
	var out []float64
	sum, weight := 0.0, 0.0
	for row := range height {
		if dark := 255 - float64(picture.GrayAt(column, row).Y); dark > 40 {
			sum += dark * (float64(row) + 0.5)
			weight += dark
		} else if weight > 0 {
			out = append(out, (float64(height)-sum/weight)*mm)
			sum, weight = 0, 0
		}
	}
	return out
}

// The guide is measured on what a printer would be sent: every station, and the
// ends of the back, within 0.1 mm, also over several pages.
func TestGuideIsTrueToSize(t *testing.T) {
	a4 := geom.Size{W: 210, H: 297}
	for _, c := range []struct {
		name  string
		leaf  geom.Size
		trim  reorder.Trim
		paper geom.Size
		parts int
	}{
		{"case", geom.Size{W: 145.5, H: 204}, reorder.Trim{Head: 3, Tail: 3, ForeEdge: 3}, a4, 1},
		{"cords", geom.Size{W: 204, H: 290}, reorder.Trim{Head: 2, Tail: 5, ForeEdge: 6}, a4, 2},
		{"flat-back", geom.Size{W: 139.7, H: 215.9}, reorder.Trim{}, geom.Size{W: 148, H: 210}, 2},
	} {
		g := Guide{"the keepers' journal", c.paper, sheetOf(t, binding.MM, c.name, c.leaf, c.trim, binding.Measured{})}
		parts := g.Parts()
		if len(parts) != c.parts {
			t.Errorf("%s: %d parts", c.name, len(parts))
			continue
		}
		doc := drawn(t, c.paper, g.Sides())
		length, head := g.spine()
		for i, part := range parts {
			picture, err := doc.Gray(t.Context(), i+1, dpi)
			if err != nil {
				t.Fatal(err)
			}
			want := []float64{part.From}
			for _, h := range g.Sheet.Stations.Holes {
				if at := h.At + head; at > part.From && at <= part.To {
					want = append(want, at)
				}
			}
			want = append(want, part.To)
			for what, x := range map[string]float64{"strip": foldX + tickReach/2, "template": cradleX + cradleW - tickReach/2 - 2} {
				var got []float64
				for _, y := range linesAcross(picture, x) {
					// Within the piece: the tab is beyond its lines.
					if at := part.From + part.Top - y; at > part.From-1 && at < part.To+1 {
						got = append(got, at)
					}
				}
				if len(got) != len(want) {
					t.Errorf("%s, part %d, %s: lines at %.2f, want %.2f", c.name, i+1, what, got, want)
					continue
				}
				for j := range want {
					if math.Abs(got[j]-want[j]) > 0.1 {
						t.Errorf("%s, part %d, %s: a line at %.3f mm, want %.3f", c.name, i+1, what, got[j], want[j])
					}
				}
			}
		}
		if last := parts[len(parts)-1]; parts[0].From != 0 || last.To != length {
			t.Errorf("%s: the parts reach from %g to %g mm, the back is %g mm", c.name, parts[0].From, last.To, length)
		}
	}
}

// The parts follow each other, stand on their pages, and no joint lies on a station.
func TestPartsFitTheirPages(t *testing.T) {
	for _, name := range structure.Names() {
		for height := 90.0; height < 420; height += 7 {
			g := Guide{"x", geom.Size{W: 148, H: 210}, sheetOf(t, binding.MM, name, geom.Size{W: 200, H: height}, reorder.Trim{Head: 3}, binding.Measured{})}
			at := 0.0
			for _, p := range g.Parts() {
				if p.From != at || p.To <= p.From || p.Y(p.To) < margin+footRoom {
					t.Errorf("%s, %g mm: part %+v after %g", name, height, p, at)
				}
				at = p.To
				for _, h := range g.Sheet.Stations.Holes {
					if d := math.Abs(h.At + 3 - p.To); d < jointClear-1e-9 && p.To < height {
						t.Errorf("%s, %g mm: a joint %.1f mm from a station", name, height, d)
					}
				}
			}
		}
	}
}

// Nothing of the guide leaves the smallest paper that books are printed on.
func TestGuideStaysOnItsPages(t *testing.T) {
	a5 := geom.Size{W: 148, H: 210}
	for _, name := range structure.Names() {
		for _, u := range []binding.Units{binding.MM, binding.Inches} {
			g := Guide{"the keepers' journal", a5, sheetOf(t, u, name, geom.Size{W: 204, H: 290}, reorder.Trim{Head: 3}, binding.Measured{})}
			doc := drawn(t, a5, g.Sides())
			for page := 1; page <= doc.Pages(); page++ {
				ink, _, err := rendertest.Ink(t.Context(), doc, page, 50, 200)
				if err != nil || !ink.IsWithin(a5.Rect().Inset(margin, margin, margin, margin), 1.5) {
					t.Errorf("%s in %s, page %d: ink in %v, %v", name, u, page, ink, err)
				}
				words, err := doc.Words(t.Context(), page)
				if err != nil {
					t.Fatal(err)
				}
				for _, w := range words {
					if u == binding.Inches && w.Text == "mm" {
						t.Errorf("%s in inches, page %d: %q", name, page, w.Text)
					}
				}
			}
		}
	}
}
