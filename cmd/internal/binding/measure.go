package binding

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Sheet is all figures of a book.
type Sheet struct {
	Book      Book
	Structure Structure
	Small     bool  // its lengths are shrunk, see [Structure].ShrinkBelow
	Units     Units // of its figures and texts
	Stations  Stations
	Before    []Figure // sewing
	After     []Figure // to be cut only when the sewn block is measured
	Firm      bool     // block, spine and board were measured
	Questions []Question
	Advice    []string // about the swelling

	// What the drawings need.
	Block, Swelling, Thick, SpineOver Range // mm; Thick is the thickness of the spine
	Board, BoardW, BoardH, Joint      Range // zero without boards
	ClothW, ClothH                    Range
}

// Question is asked about a measured figure that may be a slip.
type Question struct {
	Option string // that said it, by its key
	Text   string
}

func (q Question) String() string { return q.Text }

// Headline is what is sewn, and how.
func (s Sheet) Headline() string {
	out := fmt.Sprintf("%s, %s, %s of %s", s.Structure.Title, reorder.Count(s.Book.Gatherings, "gathering"), reorder.Count(s.Book.Sheets, "sheet"), s.Book.Paper)
	if s.Book.Copies > 1 {
		out += fmt.Sprintf("; all figures are for one of the %d copies", s.Book.Copies)
	}
	return out
}

// Basis says what the figures for boards and cover rest on, and whether to cut by them.
func (s Sheet) Basis() string {
	switch {
	case s.Firm:
		return "from the measured block"
	case s.Structure.Cover == Paper:
		return "ESTIMATED: measure the pressed block before you cut"
	}
	return "ESTIMATED: don't cut boards or cloth from the estimates; measure the sewn and pressed block first"
}

// Options is how a book is measured.
type Options struct {
	Structure Structure
	Measured  Measured
	Units     Units // zero is MM
	Edges     bool  // the leaves are held at their edges, there are no folds to sew through
}

// ArcOfChord is a third of a circle, as a spine is rounded: the arc in parts of its chord (derived).
// A spine that was measured may be less round, down to a quarter of a circle (common practice, no source).
var (
	ArcOfChord     = 2 * math.Pi / 3 / math.Sqrt(3)
	flatArcOfChord = math.Pi / 2 / math.Sqrt2
)

// Measure works out the figures of a book, and refuses what cannot be.
func Measure(b Book, o Options) (Sheet, error) {
	rules, small := o.Structure.shrinkTo(b.Leaf.H)
	w := &worker{Sheet: Sheet{Book: b, Structure: rules, Small: small, Units: max(o.Units, MM)}, measured: o.Measured}
	m := o.Measured
	if err := m.check(w.Units); err != nil {
		return Sheet{}, err
	}
	if err := o.Structure.checkBook(b, o.Edges); err != nil {
		return Sheet{}, err
	}
	// The folds are pierced before anything is trimmed and measured.
	if err := w.placeStations(); err != nil {
		return Sheet{}, err
	}
	if small {
		w.Stations.Notes = append(w.Stations.Notes, w.say("for a leaf lower than %s the lengths of the structure shrink with it", o.Structure.ShrinkBelow))
	}
	if s := w.Structure; s.Sewn == Side {
		w.Stations.Notes = append(w.Stations.Notes, w.say("pierce through all leaves, %s from the spine edge", s.FromSpine))
	}
	if err := w.addLeaf(); err != nil {
		return Sheet{}, err
	}
	w.addBlock()
	w.addPaper()
	w.addSewing()
	w.addSupports()
	w.addSpine()
	if err := w.addBoards(); err != nil {
		return Sheet{}, err
	}
	w.addCover()
	w.addLinings()
	w.Firm = len(w.Structure.Missing(m)) == 0
	return w.Sheet, nil
}

// worker fills in a sheet.
type worker struct {
	Sheet
	measured Measured
}

func (w *worker) addBefore(f Figure) { w.Before = append(w.Before, f) }
func (w *worker) addAfter(f Figure)  { w.After = append(w.After, f) }

// say is fmt.Sprintf with ranges written as lengths.
func (w *worker) say(words string, args ...any) string { return w.Units.say(words, args...) }

// length is a figure of one length.
func (w *worker) length(name string, r Range, from string) Figure {
	return Figure{Name: name, Value: w.Units.Length(r), Amount: r, From: from}
}

// piece is a figure of what has width and height.
func (w *worker) piece(name string, width, height Range, from string) Figure {
	return Figure{Name: name, Value: w.Units.WidthByHeight(width, height), Amount: width, Height: height, From: from}
}

// times is a figure of several equal pieces.
func (f Figure) times(number int) Figure {
	if number > 1 {
		f.Value = fmt.Sprintf("%d of %s", number, f.Value)
	}
	return f
}

// asLoose is a figure of a piece that is cut by itself, besides boards and cover.
func (f Figure) asLoose() Figure {
	f.Loose = true
	return f
}

// third is how far a measured figure may lie from its estimate, as a share of it, before it is asked about.
const third = 1.0 / 3

// ask asks about a measured figure that is far from its estimate.
func (w *worker) ask(option, what string, measured float64, estimate Range) {
	if measured < estimate.Least*(1-third) || measured > estimate.Most*(1+third) {
		w.addQuestion(option, w.say("%s was measured as %s, and was expected at %s: is that right?", what, Exactly(measured), estimate))
	}
}

func (w *worker) addQuestion(option, text string) {
	w.Questions = append(w.Questions, Question{option, text})
}

// choose is a length that the structure has a default for, unless it was measured, which the option tells.
func (w *worker) choose(name string, measured float64, usual Range, option string) Figure {
	if measured > 0 {
		what, _, _ := strings.Cut(name, ",")
		w.ask(option, "the "+what, measured, usual)
		return w.length(name, Exactly(measured), "measured")
	}
	f := w.length(name, usual, "default")
	f.Yours = phrase.Set(option)
	return f
}

// ends is the ends of the spine in a list.
func (w *worker) ends() string {
	first, last := w.Book.Ends()
	return first + ", " + last
}

func (w *worker) addLeaf() error {
	from := "the plan, nothing is trimmed off"
	if t := w.Book.Trim; t != (reorder.Trim{}) {
		first, last := w.Book.Ends()
		from = w.say("the plan; trimmed off: %s %s, %s %s, fore-edge %s", first, Exactly(t.Head), last, Exactly(t.Tail), Exactly(t.ForeEdge))
	}
	if m := w.measured.Leaf; m.W > 0 {
		planned := w.Book.Leaf
		if math.Abs(m.W-planned.W) > paperTolerance || math.Abs(m.H-planned.H) > paperTolerance {
			w.addQuestion("leaf-size", fmt.Sprintf("the leaf was measured as %s, and the plan has %s: is that right?", w.leaf(m), w.leaf(planned)))
		}
		full := w.Book.UntrimmedLeaf()
		if m.W > full.W+paperTolerance || m.H > full.H+paperTolerance {
			return refuseMeasured("leaf-size", "measure one leaf of the folded book, not the sheet",
				fmt.Sprintf("a leaf cannot be %s: before trimming it is %s", w.leaf(m), w.leaf(full)))
		}
		w.Book.Leaf, w.Book.Trim = m, trimLeft(w.Book.Trim, full, m)
		from = "measured"
	}
	across, along := w.Book.Axes()
	leaf := w.piece("leaf, "+across+" x "+along, Exactly(w.Book.Leaf.W), Exactly(w.Book.Leaf.H), from)
	leaf.Value = w.leaf(w.Book.Leaf)
	w.addBefore(leaf)
	return nil
}

// leaf writes the size of a leaf as a run sheet does: nobody cuts it by hand to the half of a millimetre.
func (w *worker) leaf(size geom.Size) string {
	if w.Units == MM {
		return size.String()
	}
	return w.Units.WidthByHeight(Exactly(size.W), Exactly(size.H))
}

// trimLeft is what was trimmed off where a leaf was measured: at the head what
// was planned, if it can be, and the rest elsewhere.
func trimLeft(planned reorder.Trim, full, left geom.Size) reorder.Trim {
	lost := max(0, full.H-left.H)
	head := min(planned.Head, lost)
	return reorder.Trim{Head: head, Tail: lost - head, ForeEdge: max(0, full.W-left.W)}
}

// paperTolerance is by how much, in mm, paper may differ from what it is called:
// the largest of ISO 216. A trimmed leaf that differs more from the plan is asked about.
const paperTolerance = 3

// addBlock adds the thickness of the text block, with leaves of other paper and without thread.
func (w *worker) addBlock() {
	b, m := w.Book, w.measured
	leaf := Range{b.Caliper.Least, b.Caliper.Most}
	from := w.say("%s of %s, %s each", LeavesText(b.Leaves), b.CaliperOf, leaf)
	if b.Thicknesses == 2 {
		from += ", folded double"
	}
	if m.Stack > 0 {
		one := m.Stack / float64(m.StackLeaves)
		w.ask("stack", "a leaf", one, leaf)
		leaf = Exactly(one)
		from = w.say("%s, of which %d measure %s", LeavesText(b.Leaves), m.StackLeaves, Exactly(m.Stack))
	}
	w.Block = leaf.Times(b.thicknesses())
	var others []Figure
	for _, o := range b.Others {
		one := Range{o.Caliper.Least, o.Caliper.Most}
		all := one.Times(float64(o.Leaves))
		w.Block = w.Block.Plus(all)
		from += w.say("; %s, %s of %s, %s each", o.Name, LeavesText(o.Leaves), o.CaliperOf, one)
		others = append(others, w.length(o.Name+", thickness", all, w.say("%s of %s, %s each", LeavesText(o.Leaves), o.CaliperOf, one)))
	}
	if m.Block > 0 {
		w.ask("block-thickness", "the block", m.Block, w.Block)
		w.Block, from = Exactly(m.Block), "measured"
	}
	w.addBefore(w.length("text block, thickness", w.Block, from))
	w.Before = append(w.Before, others...)
}

// addPaper adds what is weighed and bought.
func (w *worker) addPaper() {
	b := w.Book
	if b.GSM != (Range{}) {
		grams := b.GSM.Times(b.Leaf.W * b.Leaf.H / 1e6 * b.thicknesses())
		w.addBefore(Figure{Name: "text block, weight", Value: w.Units.weight(grams), Amount: grams,
			From: fmt.Sprintf("%s of %s", LeavesText(b.Leaves), b.GSMOf)})
	}
	spares := w.Structure.Spares.Most
	most := b.Sheets + max(2, int(math.Ceil(float64(b.Sheets)*spares)))
	w.addBefore(Figure{Name: SheetsToBuy, Value: fmt.Sprint(most), Amount: Exactly(float64(most)),
		From: fmt.Sprintf("%d to print and %d to spare: at least 2, or 1 in %.0f", b.Sheets, most-b.Sheets, 1/max(spares, 0.001))})
}

// SheetsToBuy is the name of the figure that says how many sheets of paper to buy.
const SheetsToBuy = "sheets to buy"

// placeStations decides where the holes are: at the places that were asked for, else by the rules.
func (w *worker) placeStations() (err error) {
	s, height, chosen := w.Structure, w.Book.Leaf.H, w.measured.Stations
	if len(chosen) == 0 {
		w.Stations, err = s.Stations(w.Units, height, w.measured.Supports)
		return err
	}
	if err := s.checkInner(len(chosen) - 2); err != nil {
		return err
	}
	for i, at := range chosen {
		kind := Hole
		if i == 0 || i == len(chosen)-1 {
			kind = s.endKind()
		}
		if !(at > 0 && at < height) || i > 0 && at-chosen[i-1] < 1 {
			places := lists.Map(chosen, func(at float64) string { return w.Units.Length(Exactly(at)) })
			return refuseMeasured("stations", "", w.say("stations at %s do not fit on a spine of %s", strings.Join(places, ", "), Exactly(height)))
		}
		hole := Station{at, kind, 0}
		if s.Links == OverTapes && i > 0 && i < len(chosen)-1 {
			hole = Station{at, []StationKind{TapeTail, TapeHead}[i%2], (i + 1) / 2}
		}
		w.Stations.Holes = append(w.Stations.Holes, hole)
	}
	w.Stations.Notes = []string{"you chose these places"}
	return nil
}
