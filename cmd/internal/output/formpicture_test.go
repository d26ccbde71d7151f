package output

import (
	"image"
	"image/color"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

const formDPI = 50 // of a page at its own size

// TestPicturesOfFoldedSheets renders the print files, prints the pictures,
// folds them as the run sheet tells, and compares every page of the book, as it
// is seen in the folded paper, with the source's page.
func TestPicturesOfFoldedSheets(t *testing.T) {
	t.Parallel()
	source := filepath.Join("..", "..", "..", "testdata", "larkhaven.pdf")
	doc := rendertest.Open(t, source)
	set := setting(t)
	var pages options.Pages
	if err := pages.UnmarshalText([]byte("1-24")); err != nil {
		t.Fatal(err)
	}
	pictures := map[int]*image.Gray{} // of the source
	compared := 0
	all := []options.Options{
		{Fold: reorder.Folio}, {Fold: reorder.Folio, Cut: 2, CutEdge: reorder.TailEdge}, {Fold: reorder.Folio, Cut: 4},
		{Fold: reorder.Quarto, Bind: reorder.BindRight}, {Fold: reorder.Quarto, Nest: reorder.Together, Bind: reorder.BindTop},
		{Fold: reorder.Octavo}, {Fold: reorder.Sixteenmo}, {Fold: reorder.Duodecimo},
		{Fold: reorder.Loose, CopiesAcross: true}, {Fold: reorder.Pouch}, {Fold: reorder.Concertina},
	}
	for at, o := range sample.Of(t, all, 1, 1, 4) {
		o.Pages, o.NoSideNames, o.Marks = pages, true, marks(t, "none")
		for _, o.Printer = range flipEdges(at) {
			folder, d := handworked(t, source, o, set)
			j := printtest.Load(t, folder)
			printed := printPictures(t, j, d.Placement.Scale)
			stack := make([]paper.Sheet, len(printed))
			for i := range stack {
				stack[i] = paper.Sheet{Size: j.Size()}
			}
			books, err := paper.Follow(stack, d.Handwork)
			if err != nil {
				t.Fatal(err)
			}
			var want []int
			for _, g := range j.Gatherings {
				want = append(want, g.Pages...)
			}
			for _, faces := range books {
				var before *image.Gray
				for i, f := range faces {
					if i >= len(want) || want[i] == 0 {
						continue
					}
					size := d.Shown(want[i]).Box.Size()
					if size != d.Placement.Most {
						continue // turned or shrunk
					}
					picture := pictures[want[i]]
					if picture == nil {
						var err error
						if picture, err = doc.Gray(t.Context(), want[i], formDPI); err != nil {
							t.Fatal(err)
						}
						pictures[want[i]] = picture
					}
					seen := look(f, printed, j.Size(), corner(f, d, size), d.Placement.Scale, picture.Bounds())
					diff := render.Compare(picture, seen)
					if diff.Mean > 2 || diff.Worst > 60 {
						t.Fatalf("%+v: page %d differs: %+v", o, want[i], diff)
					}
					if other := render.Compare(picture, upsideDown(seen)); other.Mean < 2*diff.Mean {
						continue // a plain page tells nothing
					}
					if before != nil {
						if other := render.Compare(before, seen); other.Mean < 2*diff.Mean {
							t.Fatalf("%+v: page %d looks like the page before it: %+v, itself %+v", o, want[i], other, diff)
						}
					}
					before = picture
					compared++
				}
			}
		}
	}
	t.Logf("%d pages compared", compared)
	if compared < 400 && sample.Full() || compared < 30 {
		t.Errorf("only %d pages were compared", compared)
	}
}

// printPictures prints the rendered files and returns the finished stack.
func printPictures(t *testing.T, j printtest.Job, scale float64) []virtual.Finished[*image.Gray] {
	t.Helper()
	p, err := virtual.New[*image.Gray](j.Profile.Facts)
	if err != nil {
		t.Fatal(err)
	}
	var stack []virtual.Finished[*image.Gray]
	for _, run := range j.Runs {
		var files [][]*image.Gray
		for _, name := range run.Files() {
			doc := rendertest.Open(t, filepath.Join(j.Folder, name))
			var sides []*image.Gray
			for page := 1; page <= doc.Pages(); page++ {
				g, err := doc.Gray(t.Context(), page, formDPI/scale)
				if err != nil {
					t.Fatal(err)
				}
				sides = append(sides, g)
			}
			files = append(files, sides)
		}
		done, err := p.Make(files...)
		if err != nil {
			t.Fatal(err)
		}
		stack = append(stack, done...)
	}
	return stack
}

// look is what one sees of a page in the folded paper, from its lower left
// corner at on, as a picture with the given bounds at the page's own size.
func look(f paper.Face, printed []virtual.Finished[*image.Gray], size geom.Size, at geom.Point, scale float64, bounds image.Rectangle) *image.Gray {
	out := image.NewGray(bounds)
	mm := 25.4 / formDPI * scale // of a pixel on the paper
	for y := range bounds.Dy() {
		for x := range bounds.Dx() {
			out.SetGray(x, y, color.Gray{Y: 255})
			sheet, side, on := f.OnSheet(geom.Point{X: at.X + (float64(x)+0.5)*mm, Y: at.Y + (float64(bounds.Dy()-y)-0.5)*mm})
			seen := printed[sheet].Front
			if side == reorder.Back {
				seen = printed[sheet].Back
			}
			if !seen.Printed {
				continue
			}
			in := seen.Place(on, size) // a half turn, or none: its own reverse
			b := seen.Image.Bounds()
			out.SetGray(x, y, seen.Image.GrayAt(int(in.X/size.W*float64(b.Dx())), int((1-in.Y/size.H)*float64(b.Dy()))))
		}
	}
	return out
}

func upsideDown(g *image.Gray) *image.Gray {
	out := image.NewGray(g.Bounds())
	for i := range g.Pix {
		out.Pix[len(g.Pix)-1-i] = g.Pix[i]
	}
	return out
}
