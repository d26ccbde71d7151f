package proof

import (
	"fmt"
	"math"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
)

// imprint is what a page of a print file brings onto the paper. A nil file: the
// printer was sent nothing for this sheet.
type imprint struct {
	file *File
	page int // from 1
}

// Side is one side of a printed sheet.
type Side struct {
	File *File // nil: nothing was printed on it
	Page int   // of the file
	// View maps the file's page to the side as it is looked at, both in mm.
	View reorder.Matrix
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
	device, err := virtual.New[imprint](facts)
	if err != nil {
		return err
	}
	device = device.WithErrors(knownErrors(p.plan.Profile.Facts, p.plan.Profile.Registration, p.plan.Profile.Scale))
	numbers := p.plan.sheetNumbers()
	for i := 0; i < len(p.Files); {
		run := p.Files[i].Run
		var files [][]imprint
		first := i
		for ; i < len(p.Files) && p.Files[i].Run == run; i++ {
			files = append(files, p.images(p.Files[i]))
		}
		if !p.checkFiles(p.Files[first:i]) {
			continue
		}
		if len(files) == 2 {
			files[0], files[1] = p.evenOut(p.Files[first:i], files[0], files[1])
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

// images is what the pages of a file bring, and notes what no page of it may be.
func (p *Print) images(f *File) []imprint {
	var out []imprint
	paper := p.plan.paper()
	for _, page := range f.doc.Pages() {
		out = append(out, imprint{f, page.Number})
		const slack = 0.05 // mm; sizes are written to a few decimals of a point
		if s := page.Size; math.Abs(s.W-paper.W) > slack || math.Abs(s.H-paper.H) > slack {
			p.addFault("%s, page %d: its size is %s, the paper is %s", f.Name, page.Number, s, paper)
		}
	}
	return out
}

// checkFiles tells whether the files of a run are such as the printer prints.
func (p *Print) checkFiles(files []*File) bool {
	automatic := p.plan.Profile.TwoSided == printer.Automatic
	for _, f := range files {
		switch {
		case f.Pass == printer.BothPass && !automatic:
			p.addFault("%s is for a printer that turns the paper itself, and %s does not", f.Name, p.plan.Profile.Name)
			return false
		case f.Pass != printer.BothPass && automatic:
			p.addFault("%s is for a stack that is put back by hand, and %s turns the paper itself", f.Name, p.plan.Profile.Name)
			return false
		}
	}
	if files[0].Pass == printer.BackPass {
		p.addFault("%s has no front file", files[0].Name)
		return false
	}
	if automatic && files[0].Pages()%2 != 0 {
		p.addFault("%s: the back of its last sheet is missing", files[0].Name)
		return false
	}
	return true
}

// evenOut makes the two passes equally long: a printer to which fewer pages are
// sent leaves the rest of the stack blank, and of more pages the last have no paper.
func (p *Print) evenOut(files []*File, fronts, backs []imprint) (_, _ []imprint) {
	if len(fronts) == len(backs) {
		return fronts, backs
	}
	p.addFault("%s has %s and %s %d", files[0].Name, reorder.Count(len(fronts), "page"), files[1].Name, len(backs))
	none := make([]imprint, max(0, len(fronts)-len(backs)))
	if p.plan.Profile.Sends == printer.LastPageFirst {
		return fronts, append(none, backs...)[max(0, len(backs)-len(fronts)):]
	}
	return fronts, append(backs, none...)[:len(fronts)]
}

func sideOf(seen virtual.Seen[imprint], size reorder.Size) Side {
	if !seen.Printed || seen.Image.file == nil {
		return Side{}
	}
	o := seen.Place(reorder.Point{}, size)
	x, y := seen.Place(reorder.Point{X: 1}, size), seen.Place(reorder.Point{Y: 1}, size)
	return Side{seen.Image.file, seen.Image.page, reorder.Matrix{x.X - o.X, x.Y - o.Y, y.X - o.X, y.Y - o.Y, o.X, o.Y}}
}

// knownErrors is what a profile knows of a printer's errors, as they hold in
// the printer: the shift of the back, which the profile gives as seen through
// from the front, lies in the image's own frame, mirrored, and turned if the
// sheet was turned about its short edge.
func knownErrors(facts printer.Facts, r printer.Registration, s printer.Scalings) virtual.Errors {
	second := reorder.Point{X: -r.Back.Right, Y: r.Back.Up}
	if facts.FlipEdge == printer.ShortEdge {
		second = reorder.Point{X: r.Back.Right, Y: -r.Back.Up}
	}
	return virtual.Errors{
		Shift:         reorder.Point{X: r.Both.Right, Y: r.Both.Up},
		Second:        second,
		Stretch:       stretchOf(s.Front),
		SecondStretch: stretchOf(s.Back),
	}
}

func stretchOf(s printer.Scaling) reorder.Point {
	var out reorder.Point
	if s.Across != 0 {
		out.X = s.Across - 1
	}
	if s.Along != 0 {
		out.Y = s.Along - 1
	}
	return out
}

// addFault notes something that concerns no single page.
func (p *Print) addFault(format string, a ...any) {
	p.faults = append(p.faults, Fault{What: fmt.Sprintf(format, a...)})
}
