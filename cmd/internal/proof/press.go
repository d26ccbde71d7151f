package proof

import (
	"cmp"
	"fmt"
	"math"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Side is one side of a printed sheet, or what a printer is sent for one.
type Side struct {
	File *File // nil: nothing is printed on it
	Page int   // of the file
	// View maps the file's page to the side as it is looked at, both in mm.
	View geom.Matrix
}

// Sheet is a sheet of the finished stack.
type Sheet struct {
	Number      int // in the book
	Front, Back Side
}

// Side is one of the two.
func (s Sheet) Side(side reorder.Side) Side {
	if side == reorder.Front {
		return s.Front
	}
	return s.Back
}

// printSheets prints all files on a printer that does what the profile says of it,
// its errors too, and returns the finished stack, the first sheet on top.
func (p *Print) printSheets() error {
	size := p.plan.paper()
	facts := p.plan.Profile.Facts
	device, err := virtual.New[Side](facts)
	if err != nil {
		return err
	}
	device = device.WithErrors(knownErrors(p.plan.Profile.Facts, p.plan.Profile.Registration, p.plan.Profile.Scale))
	numbers := p.plan.SheetNumbers()
	for i := 0; i < len(p.Files); {
		run := p.Files[i].Run
		var files [][]Side
		first := i
		for ; i < len(p.Files) && p.Files[i].Run == run; i++ {
			files = append(files, p.readImages(p.Files[i]))
		}
		if !p.checkFiles(p.Files[first:i]) {
			continue
		}
		if len(files) == 2 {
			files[0], files[1] = p.evenOut(p.Files[first:i], files[0], files[1])
		}
		if p.plan.Profile.TwoSided == printer.Automatic && p.Files[first].Pass == printer.FrontPass {
			files[0] = addBlankBacks(files[0])
		}
		done, err := device.Make(files...)
		if err != nil {
			p.addFault("%s: %v", p.Files[first].Name, err)
			continue
		}
		for _, s := range done {
			p.Sheets = append(p.Sheets, Sheet{Front: sideOf(s.Front, size), Back: sideOf(s.Back, size)})
		}
		p.runs = append(p.runs, len(done))
	}
	if n := len(p.Sheets); n != len(numbers) {
		p.addFault("the files print %s, the gatherings need %d", reorder.Count(n, "sheet"), len(numbers))
	}
	for i, number := range numbers {
		if i == len(p.Sheets) {
			p.Sheets = append(p.Sheets, Sheet{}) // nothing was printed for it
		}
		p.Sheets[i].Number = number
	}
	p.Sheets = p.Sheets[:len(numbers)]
	return nil
}

// readImages is what the pages of a file bring, and notes what no page of it may be.
func (p *Print) readImages(f *File) []Side {
	var out []Side
	paper := p.plan.paper()
	for _, page := range f.doc.Pages() {
		out = append(out, Side{File: f, Page: page.Number})
		const slack = 0.05 // mm; sizes are written to a few decimals of a point
		if s := page.Size; math.Abs(s.W-paper.W) > slack || math.Abs(s.H-paper.H) > slack {
			p.addFault("%s, page %d: its size is %s, the paper is %s", f.Name, page.Number, s, paper)
		}
	}
	return out
}

// checkFiles tells whether the files of a run can be printed. That they are such as the printer
// prints is what a plan is checked for.
func (p *Print) checkFiles(files []*File) bool {
	switch f := files[0]; {
	case f.Pass == printer.BackPass:
		p.addFault("%s has no front file", f.Name)
		return false
	case f.Pass == printer.BothPass && f.Pages()%2 != 0:
		p.addFault("%s: the back of its last sheet is missing", f.Name)
		return false
	}
	return true
}

// addBlankBacks is what a printer that turns the paper itself prints of a file of fronts.
func addBlankBacks(fronts []Side) []Side {
	var out []Side
	for _, front := range fronts {
		out = append(out, front, Side{})
	}
	return out
}

// evenOut makes the two passes equally long: a printer to which fewer pages are
// sent leaves the rest of the stack blank, and of more pages the last have no paper.
func (p *Print) evenOut(files []*File, fronts, backs []Side) (_, _ []Side) {
	if len(fronts) == len(backs) {
		return fronts, backs
	}
	p.addFault("%s has %s and %s %d", files[0].Name, reorder.Count(len(fronts), "page"), files[1].Name, len(backs))
	none := make([]Side, max(0, len(fronts)-len(backs)))
	if p.plan.Profile.Sends == printer.LastPageFirst {
		return fronts, append(none, backs...)[max(0, len(backs)-len(fronts)):]
	}
	return fronts, append(backs, none...)[:len(fronts)]
}

func sideOf(seen virtual.Seen[Side], size geom.Size) Side {
	if !seen.Printed || seen.Image.File == nil {
		return Side{}
	}
	o := seen.Place(geom.Point{}, size)
	x, y := seen.Place(geom.Point{X: 1}, size), seen.Place(geom.Point{Y: 1}, size)
	return Side{seen.Image.File, seen.Image.Page, geom.Matrix{x.X - o.X, x.Y - o.Y, y.X - o.X, y.Y - o.Y, o.X, o.Y}}
}

// knownErrors is what a profile knows of a printer's errors, as they hold in
// the printer: the shift of the back, which the profile gives as seen through
// from the front, lies in the image's own frame, mirrored, and turned if the
// sheet was turned about its short edge.
func knownErrors(facts printer.Facts, r printer.Registration, s printer.Scalings) virtual.Errors {
	second := geom.Point{X: -r.Back.Right, Y: r.Back.Up}
	if facts.FlipEdge == printer.ShortEdge {
		second = geom.Point{X: r.Back.Right, Y: -r.Back.Up}
	}
	stretch := func(s printer.Scaling) geom.Point {
		return geom.Point{X: cmp.Or(s.Across, 1) - 1, Y: cmp.Or(s.Along, 1) - 1}
	}
	return virtual.Errors{Shift: geom.Point{X: r.Both.Right, Y: r.Both.Up}, Second: second, Stretch: stretch(s.Front), SecondStretch: stretch(s.Back)}
}

// addFault notes something that concerns no single page.
func (p *Print) addFault(format string, a ...any) {
	p.faults = append(p.faults, Fault{What: fmt.Sprintf(format, a...)})
}
