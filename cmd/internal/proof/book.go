package proof

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Beside is where something made of a folder is written unless somebody says
// otherwise: NAME-what beside NAME-print.
func Beside(folder, what string) string {
	folder = filepath.Clean(folder)
	if abs, err := filepath.Abs(folder); err == nil && strings.HasPrefix(filepath.Base(folder), ".") {
		folder = abs // "." and ".." have no name
	}
	name := strings.TrimSuffix(filepath.Base(folder), "-print")
	return filepath.Join(filepath.Dir(folder), name+"-"+what)
}

// BookFile is where the book of a folder is written: NAME-proof.pdf.
func BookFile(folder string) string { return Beside(folder, "proof.pdf") }

// bookTitle begins the title of every book that this package writes.
const bookTitle = "Proof of "

// IsBook tells whether a file is a book written by this package.
func IsBook(path string) bool { return pdf.IsOwn(path, bookTitle) }

// WriteBook writes the book that the print files make: one page for each
// opening, with the fold in the middle, from the first page alone at its side
// of the fold to the last. What stands on it is taken from the print files.
func (p *Print) WriteBook(ctx context.Context, w io.Writer) error {
	f := pdf.PrintFile{Title: bookTitle + p.plan.Source.File, Duplex: pdf.Simplex}
	for _, o := range p.openings() {
		f.Paper = o.size
		f.Sides = append(f.Sides, p.drawOpening(o))
	}
	if len(f.Sides) == 0 {
		f.Paper, f.Sides = p.plan.paper(), []pdf.Side{{}}
	}
	return pdf.Write(ctx, w, f)
}

// opening is two pages that are seen together; one of them may be missing.
type opening struct {
	size   geom.Size
	places []Place
}

// openings shares the places out: each verso and the recto after it.
func (p *Print) openings() []opening {
	var out []opening
	places := p.Places
	if p.Bound != nil {
		places = p.Bound
	}
	for i, place := range places {
		if place.Recto && i > 0 && !places[i-1].Recto && places[i-1].Copy == place.Copy {
			out[len(out)-1].places = append(out[len(out)-1].places, place)
			continue
		}
		size := geom.Size{W: 2 * place.Size.W, H: place.Size.H}
		if p.plan.Options.Bind == reorder.BindTop {
			size = geom.Size{W: place.Size.W, H: 2 * place.Size.H}
		}
		out = append(out, opening{size, []Place{place}})
	}
	return out
}

// drawOpening puts the parts of the print files on a page of the book.
func (p *Print) drawOpening(o opening) pdf.Side {
	var out pdf.Side
	for _, place := range o.places {
		at := p.inOpening(place)
		leaf, of := place.Size.Rect(), p
		if place.Insert > 0 {
			leaf, of = place.Leaf, p.inserts[place.Insert-1].print
		}
		leaf = geom.Translate(at.X, at.Y).Bounds(leaf)
		if from := of.sideAt(place); from.File != nil {
			lies := from.View.Then(place.Lies).Then(geom.Translate(at.X, at.Y))
			out.Pages = append(out.Pages, pdf.Placed{From: from.File.doc, Page: from.Page, Matrix: lies, Clip: leaf})
		}
		out.Drawing.DrawRect(leaf, pdf.Pen{Width: 0.1, Grey: 0.8})
	}
	return out
}

// inOpening is where the lower left corner of a page stands on its opening: the
// spine of both pages is the line in the middle.
func (p *Print) inOpening(place Place) geom.Point {
	switch spine(p.plan.Options.Bind, place.Recto) {
	case geom.Left:
		return geom.Point{X: place.Size.W}
	case geom.Down:
		return geom.Point{Y: place.Size.H}
	}
	return geom.Point{}
}

// Summary says in a few lines what many faults have in common.
func (p *Print) Summary(r Result) []string {
	type group struct {
		file string
		kind Kind
	}
	total, count := map[string]int{}, map[group]int{}
	var order []group
	for _, of := range p.prints() {
		for _, place := range of.Places {
			if from := of.sideAt(place); from.File != nil {
				total[from.File.Name]++
			}
		}
	}
	for _, f := range r.Faults {
		if f.Kind == 0 || f.File == "" {
			continue
		}
		g := group{f.File, f.Kind}
		if count[g] == 0 {
			order = append(order, g)
		}
		count[g]++
	}
	var out []string
	for _, g := range order {
		if n := count[g]; n > 1 {
			share := fmt.Sprintf("%d of %d pages", n, total[g.file])
			if n == total[g.file] {
				share = fmt.Sprintf("all %d pages", n)
			}
			out = append(out, fmt.Sprintf("%s: %s %s", g.file, share, kindWords[g.kind]))
		}
	}
	return out
}

var kindWords = map[Kind]string{
	Missing:   "are missing",
	Turned:    "are upside down",
	Exchanged: "are the wrong pages",
	Moved:     "are out of place or have the wrong size",
	Differs:   "differ from the source",
	Extra:     "should be blank and are not",
	Lost:      "lose some of their print",
}
