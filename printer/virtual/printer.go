// Package virtual is a simulated printer, and the person who stands at it.
//
// It exists to try print files on: whoever works out files for a printer's
// facts feeds them to a simulated printer of the same facts and looks at the
// stack that comes out. It therefore knows nothing of how such files are
// worked out. It moves sheets: takes one from the tray, prints a face of it,
// turns it as the printer's insides do and lays it on the others.
//
// Start with [New] and [Printer.Make]; the single steps are [Blank],
// [Printer.Print], [Reload], [Printer.PrintBoth] and [Finish]. [All] lists
// every set of facts that a printer can have.
//
// # Frames
//
// A sheet is a rigid body that lies in a tray as a person looks down on it: x
// to the right, y away from the person, z up, the short edges at the near and
// the far end. A print stays where it was made, in the body's own frame. A
// printer lays the head of every image at the far end of its tray, whichever
// face it prints; which end it really is makes no difference, because only the
// ends of two printings are ever compared.
//
// What an image is, is the caller's affair: the type parameter I may be a page
// number, the index of a page of a PDF or a list of marks. [Seen.Place] and
// [Seen.Direction] carry what an image holds into the view of the sheet's side.
//
// A printer of its own accord prints where it should and, if it would print a
// face twice, stops with [ErrOverprint]. [Printer.WithErrors] makes one that
// shifts, stretches and wanders, [Printer.WithOverprinting] one that prints on.
//
// Not here: more than one tray, sheets fed crookedly in the first pass.
package virtual

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"foldwright/printer"
	"foldwright/reorder/geom"
)

var (
	// ErrFacts is returned for facts that are missing, unknown or of the other kind of printer.
	ErrFacts = errors.New("not the facts of a printer")
	// ErrNoPrinter is returned for facts that contradict each other: however
	// the sheet is turned inside the printer, it doesn't land and come back as they say.
	ErrNoPrinter = errors.New("no printer has these facts")
	// ErrTwoSided is returned when a printer by hand is to print both sides at
	// once, or an automatic one a single face.
	ErrTwoSided = errors.New("the printer does not print this way")
	// ErrTooFew is returned when the tray is empty before the file ends.
	ErrTooFew = errors.New("too few sheets")
	// ErrTooMany is returned when the file ends before the tray is empty.
	ErrTooMany = errors.New("too many sheets")
	// ErrOdd is returned for an automatic file whose last sheet has no back.
	ErrOdd = errors.New("the file's last sheet has no back")
)

// Printer is a printer that acts as its facts say.
type Printer[I any] struct {
	facts  printer.Facts
	trip   Motion // from the loaded to the delivered stack, all turns taken together
	errors Errors
	// overprints: a face that carries a print is printed again without a word.
	overprints bool
}

// WithOverprinting is the same printer without a watchful eye: a print may fall on
// another one, as it does in life.
func (p Printer[I]) WithOverprinting() *Printer[I] {
	p.overprints = true
	return &p
}

// WithReload is the same printer and a person who puts the stack back in
// another way than its facts say.
func (p Printer[I]) WithReload(reload printer.Reload) *Printer[I] {
	p.facts.Reload = reload
	return &p
}

// New builds the printer of which the facts tell. The trip through it is no
// fact that a person can see; New finds the one motion with which a sheet
// lands, is put back and comes to its second printing as the facts say.
//
// The error is [ErrFacts] for facts that are missing or do not belong to this
// kind of printer, [ErrNoPrinter] where no trip agrees with them.
func New[I any](facts printer.Facts) (*Printer[I], error) {
	if err := checkComplete(facts); err != nil {
		return nil, err
	}
	for trip := Still; trip <= AboutShort; trip++ {
		if agrees(facts, trip) {
			return &Printer[I]{facts: facts, trip: trip}, nil
		}
	}
	return nil, fmt.Errorf("%w: %+v", ErrNoPrinter, facts)
}

// checkComplete refuses facts with a value missing, unknown or out of place.
func checkComplete(f printer.Facts) error {
	hand := f.TwoSided == printer.ByHand
	for _, fact := range []struct {
		value  fmt.Stringer
		wanted bool
	}{
		{f.TwoSided, true}, {f.FeedFace, hand}, {f.FeedFrom, hand}, {f.Reload, hand},
		{f.Lands, true}, {f.Stacks, true}, {f.Sends, true}, {f.FlipEdge, true},
	} {
		if given := fact.value.String() != "not given"; given != fact.wanted {
			return fmt.Errorf("%w: %+v", ErrFacts, f)
		}
	}
	return nil
}

// agrees tries a trip on one sheet: does it land as the facts say, meet the
// second printing with its blank face, and was it turned about the flip-edge
// between the two?
func agrees(f printer.Facts, trip Motion) bool {
	fresh := Blank[string](1)[0]
	if f.TwoSided == printer.Automatic {
		once, _ := fresh.print(1, "front", lie{})
		twice, err := once.move(flip(f.FlipEdge)).print(1, "back", lie{})
		return err == nil && twice.move(trip).frontLooks() == restingSide(f.Lands)
	}
	once, _ := fresh.print(printedSide(f.FeedFace), "front", lie{})
	landed := once.move(trip)
	if landed.frontLooks() != restingSide(f.Lands) {
		return false
	}
	back := landed.move(motionOf(f.Reload))
	if _, err := back.print(printedSide(f.FeedFace), "back", lie{}); err != nil {
		return false
	}
	return back.pose == once.pose.turn(flip(f.FlipEdge))
}

// Print is one pass by hand: it sends the file, a page to a sheet, and returns
// the delivered stack. The loaded stack is left as it was.
//
// The error is [ErrOverprint], [ErrTooFew], [ErrTooMany], or [ErrTwoSided] for
// an automatic printer.
func (p *Printer[I]) Print(stack Stack[I], file []I) (Stack[I], error) {
	if p.facts.TwoSided != printer.ByHand {
		return nil, fmt.Errorf("%w: an automatic printer prints both sides", ErrTwoSided)
	}
	tray := slices.Clone(stack)
	var delivered Stack[I]
	for _, i := range p.sendingOrder(len(file)) {
		if len(tray) == 0 {
			return nil, fmt.Errorf("%w: %d for %d pages", ErrTooFew, len(stack), len(file))
		}
		var sheet Sheet[I]
		if p.facts.FeedFrom == printer.FromTop {
			sheet, tray = tray[0], tray[1:]
		} else {
			sheet, tray = tray[len(tray)-1], tray[:len(tray)-1]
		}
		sheet, err := p.print(sheet, printedSide(p.facts.FeedFace), file[i])
		if err != nil {
			return nil, fmt.Errorf("page %d of the file: %w", i+1, err)
		}
		delivered = p.deliver(delivered, sheet)
	}
	if len(tray) > 0 {
		return nil, fmt.Errorf("%w: %d for %d pages", ErrTooMany, len(stack), len(file))
	}
	return delivered, nil
}

// PrintBoth is the one pass of an automatic printer. The file holds front and
// back of a sheet one after the other; sends orders the sheets.
//
// The error is [ErrOverprint], [ErrTooFew], [ErrTooMany], [ErrOdd], or
// [ErrTwoSided] for a printer by hand.
func (p *Printer[I]) PrintBoth(stack Stack[I], file []I) (Stack[I], error) {
	switch {
	case p.facts.TwoSided != printer.Automatic:
		return nil, fmt.Errorf("%w: it prints one side at a time", ErrTwoSided)
	case len(file)%2 != 0:
		return nil, fmt.Errorf("%w: %d pages", ErrOdd, len(file))
	case len(stack) < len(file)/2:
		return nil, fmt.Errorf("%w: %d for %d pages", ErrTooFew, len(stack), len(file))
	case len(stack) > len(file)/2:
		return nil, fmt.Errorf("%w: %d for %d pages", ErrTooMany, len(stack), len(file))
	}
	var delivered Stack[I]
	for taken, i := range p.sendingOrder(len(file) / 2) {
		sheet, err := p.print(stack[taken], 1, file[2*i])
		if err != nil {
			return nil, fmt.Errorf("page %d of the file: %w", 2*i+1, err)
		}
		sheet, err = p.print(sheet.move(flip(p.facts.FlipEdge)), 1, file[2*i+1])
		if err != nil {
			return nil, fmt.Errorf("page %d of the file: %w", 2*i+2, err)
		}
		delivered = p.deliver(delivered, sheet)
	}
	return delivered, nil
}

// PrintOneFace is one pass over fresh sheets whose other faces stay blank. An
// automatic printer does it with two-sided printing turned off: the sheet does
// not go round inside, and comes to rest as its fact lands says.
//
// The errors are those of [Printer.Print].
func (p *Printer[I]) PrintOneFace(stack Stack[I], file []I) (Stack[I], error) {
	if p.facts.TwoSided == printer.ByHand {
		return p.Print(stack, file)
	}
	once := *p
	once.facts.TwoSided, once.facts.FeedFace, once.facts.FeedFrom = printer.ByHand, printer.FeedUp, printer.FromTop
	once.trip = Still
	if p.facts.Lands == printer.FaceDown {
		once.trip = AboutLong
	}
	return once.Print(stack, file)
}

// print puts an image on a sheet, with the printer's errors.
func (p *Printer[I]) print(sheet Sheet[I], looks int, image I) (Sheet[I], error) {
	lies := p.errors.lieOfPrint(len(sheet.above) + len(sheet.below))
	if p.overprints {
		return sheet.overprint(looks, image, lies), nil
	}
	return sheet.print(looks, image, lies)
}

// sendingOrder is the places of n pages (or sheets) of a file in the order in which
// the computer sends them.
func (p *Printer[I]) sendingOrder(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	if p.facts.Sends == printer.LastPageFirst {
		slices.Reverse(order)
	}
	return order
}

// deliver takes a printed sheet through the rest of the printer and lays it
// down with those that came before it.
func (p *Printer[I]) deliver(delivered Stack[I], sheet Sheet[I]) Stack[I] {
	sheet = sheet.move(p.trip)
	if p.facts.Stacks == printer.OnTop {
		return slices.Insert(delivered, 0, sheet)
	}
	return append(delivered, sheet)
}

func printedSide(f printer.FeedFace) int {
	if f == printer.FeedUp {
		return 1
	}
	return -1
}

func restingSide(l printer.Lands) int {
	if l == printer.FaceUp {
		return 1
	}
	return -1
}

func flip(e printer.FlipEdge) Motion {
	if e == printer.LongEdge {
		return AboutLong
	}
	return AboutShort
}

// All is every set of facts that a printer can have, found by trying: a
// combination counts if some trip through the printer agrees with it.
func All() []printer.Facts {
	common := []printer.Facts{{}}
	common = vary(common, func(f *printer.Facts) *printer.Lands { return &f.Lands }, printer.FaceUp, printer.FaceDown)
	common = vary(common, func(f *printer.Facts) *printer.Stacks { return &f.Stacks }, printer.OnTop, printer.Beneath)
	common = vary(common, func(f *printer.Facts) *printer.Sends { return &f.Sends }, printer.FirstPageFirst, printer.LastPageFirst)
	common = vary(common, func(f *printer.Facts) *printer.FlipEdge { return &f.FlipEdge }, printer.LongEdge, printer.ShortEdge)

	kind := func(f *printer.Facts) *printer.TwoSided { return &f.TwoSided }
	automatic := vary(common, kind, printer.Automatic)
	hand := vary(common, kind, printer.ByHand)
	hand = vary(hand, func(f *printer.Facts) *printer.FeedFace { return &f.FeedFace }, printer.FeedUp, printer.FeedDown)
	hand = vary(hand, func(f *printer.Facts) *printer.FeedFrom { return &f.FeedFrom }, printer.FromTop, printer.FromBottom)
	hand = vary(hand, func(f *printer.Facts) *printer.Reload { return &f.Reload },
		printer.AsDelivered, printer.RotateHalf, printer.TurnLong, printer.TurnShort)

	var all []printer.Facts
	for _, f := range append(hand, automatic...) {
		if _, err := New[int](f); err == nil {
			all = append(all, f)
		}
	}
	return all
}

// vary repeats the given facts with every value of one more fact.
func vary[V any](facts []printer.Facts, fact func(*printer.Facts) *V, values ...V) []printer.Facts {
	var out []printer.Facts
	for _, f := range facts {
		for _, v := range values {
			*fact(&f) = v
			out = append(out, f)
		}
	}
	return out
}

// Errors are how far a printer's images lie from where they should. All are
// those of the machine: they hold in the frame of the image as it is printed,
// that is, for one who looks at the face being printed with the edge that
// goes in first away from him. The zero value is a printer without errors.
type Errors struct {
	// Shift moves every image, in mm.
	Shift geom.Point
	// Second moves an image besides if the sheet carries a print already: the
	// stack lies a little otherwise in the tray the second time.
	Second geom.Point
	// Stretch and SecondStretch are how much too large images are, as a part
	// of their size: 0.01 is one percent. Paper dries and shrinks between its
	// two trips, so the second image differs.
	Stretch, SecondStretch geom.Point
	// SecondAskew turns the second image about the sheet's centre, in radians
	// against the clock.
	SecondAskew float64
	// Wander moves the second image of each sheet anew, in mm; nil is a
	// printer that does not wander.
	Wander func() geom.Point
}

// lie is how an image lies on its face: stretched about the sheet's centre,
// turned, and shifted. The zero value is an image that lies as it should.
type lie struct {
	stretch, shift geom.Point
	askew          float64
}

// WithErrors is the same printer with errors.
func (p Printer[I]) WithErrors(e Errors) *Printer[I] {
	p.errors = e
	return &p
}

// lieOfPrint is how the next image lies on a sheet with so many prints.
func (e Errors) lieOfPrint(prints int) lie {
	if prints == 0 {
		return lie{stretch: e.Stretch, shift: e.Shift}
	}
	out := lie{stretch: e.SecondStretch, askew: e.SecondAskew}
	out.shift.X = e.Shift.X + e.Second.X
	out.shift.Y = e.Shift.Y + e.Second.Y
	if e.Wander != nil {
		by := e.Wander()
		out.shift.X += by.X
		out.shift.Y += by.Y
	}
	return out
}

// place carries a point of the image to where it comes to lie, both in the
// image's own frame.
func (l lie) place(p geom.Point, image geom.Size) geom.Point {
	if l == (lie{}) {
		return p // to the last bit
	}
	x := (p.X - image.W/2) * (1 + l.stretch.X)
	y := (p.Y - image.H/2) * (1 + l.stretch.Y)
	sin, cos := math.Sincos(l.askew)
	return geom.Point{
		X: image.W/2 + x*cos - y*sin + l.shift.X,
		Y: image.H/2 + x*sin + y*cos + l.shift.Y,
	}
}
