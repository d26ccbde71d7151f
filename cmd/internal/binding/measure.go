package binding

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// Sheet is all figures of a book.
type Sheet struct {
	Book      Book
	Structure Structure
	Stations  Stations
	Before    []Figure // sewing
	After     []Figure // to be cut only when the sewn block is measured
	Firm      bool     // block, back and board were measured
	Questions []string
	Advice    []string // about the swelling

	// What the drawings need.
	Block, Swelling, BackOver, Board Range // mm, see the figures of these names
	BoardW, BoardH                   Range // zero without boards
	ClothW, ClothH                   Range
}

// Options is how a book is measured.
type Options struct {
	Structure Structure
	Measured  Measured
	Units     Units // of questions; zero is MM
	Edges     bool  // the leaves are held at their edges, there are no folds to sew through
}

// Third of a circle, as a back is rounded: the arc in parts of its chord, and
// how deep it is (derived).
var (
	ArcOfChord   = 2 * math.Pi / 3 / math.Sqrt(3)
	DepthOfChord = 1 / (2 * math.Sqrt(3))
)

// Measure works out the figures of a book. What cannot be is refused with an
// [*Error].
func Measure(b Book, o Options) (Sheet, error) {
	if o.Units == 0 {
		o.Units = MM
	}
	sheet, err := measure(b, o)
	if e := (*Error)(nil); errors.As(err, &e) {
		e.Units = o.Units
	}
	return sheet, err
}

func measure(b Book, o Options) (Sheet, error) {
	m := o.Measured
	if err := m.check(); err != nil {
		return Sheet{}, err
	}
	if err := o.Structure.holds(b, o.Edges); err != nil {
		return Sheet{}, err
	}
	w := &worker{Sheet: Sheet{Book: b, Structure: o.Structure}, Measured: m, units: o.Units}
	// The folds are pierced before anything is trimmed and measured.
	if err := w.addStations(); err != nil {
		return Sheet{}, err
	}
	if err := w.addLeaf(); err != nil {
		return Sheet{}, err
	}
	w.addBlock()
	w.addPaper()
	w.addSwelling()
	w.addThread()
	w.addSupports()
	w.addBack()
	if err := w.addBoards(); err != nil {
		return Sheet{}, err
	}
	w.addCloth()
	w.addLinings()
	w.Firm = m.Block > 0 && (m.Board > 0 || w.Structure.Cover == Paper) && (m.Back > 0 || w.Structure.Back == Flat)
	return w.Sheet, nil
}

// worker fills in a sheet.
type worker struct {
	Sheet
	Measured Measured
	units    Units
}

func (w *worker) addBefore(f Figure) { w.Before = append(w.Before, f) }
func (w *worker) addAfter(f Figure)  { w.After = append(w.After, f) }

func (w *worker) ask(what string, measured float64, estimate Range) {
	if q := askAbout(w.units, what, measured, estimate); q != "" {
		w.Questions = append(w.Questions, q)
	}
}

func newLength(name string, r Range, from Reason) Figure {
	return Figure{Name: name, Kind: Lengths, Amount: r, From: from}
}

func newPiece(name string, number int, width, height Range, from Reason) Figure {
	return Figure{Name: name, Kind: Lengths, Amount: width, Height: height, Number: number, From: from}
}

// ends is the ends of the back in a list.
func (w *worker) ends() string {
	first, last := w.Book.Ends()
	return first + ", " + last
}

func newLoosePiece(name string, number int, width, height Range, from Reason) Figure {
	f := newPiece(name, number, width, height, from)
	f.Loose = true
	return f
}

func (w *worker) addLeaf() error {
	from := newReason("the plan, nothing is trimmed off")
	if w.Book.Trim != (reorder.Trim{}) {
		from = newReason("the plan: {}, {} and {} are trimmed off "+w.ends()+" and fore-edge",
			Exactly(w.Book.Trim.Head), Exactly(w.Book.Trim.Tail), Exactly(w.Book.Trim.ForeEdge))
	}
	if m := w.Measured.Leaf; m.W > 0 {
		w.ask("the leaf's width", m.W, Exactly(w.Book.Leaf.W))
		w.ask("the leaf's height", m.H, Exactly(w.Book.Leaf.H))
		full := w.Book.UntrimmedLeaf()
		if m.W > full.W+paperTolerance || m.H > full.H+paperTolerance {
			return refuse("measure one leaf of the folded book, not the sheet",
				newReason("a leaf of {} x {} cannot be: before trimming it is {} x {}", Exactly(m.W), Exactly(m.H), Exactly(full.W), Exactly(full.H)))
		}
		w.Book.Leaf, w.Book.Trim = m, trimLeft(w.Book.Trim, full, m)
		from = newReason("measured")
	}
	w.addBefore(newPiece("leaf, "+w.Book.size(), 1, Exactly(w.Book.Leaf.W), Exactly(w.Book.Leaf.H), from))
	return nil
}

// trimLeft is what was trimmed off where a leaf was measured: at the head what
// was planned, if it can be, and the rest elsewhere.
func trimLeft(planned reorder.Trim, full, left geom.Size) reorder.Trim {
	lost := max(0, full.H-left.H)
	head := min(planned.Head, lost)
	return reorder.Trim{Head: head, Tail: lost - head, ForeEdge: max(0, full.W-left.W)}
}

// paperTolerance is by how much, in mm, paper may be larger than it is called:
// the largest of ISO 216.
const paperTolerance = 3

// addBlock adds the thickness of the text block, without thread and end-papers.
func (w *worker) addBlock() {
	b, m := w.Book, w.Measured
	leaves := float64(b.Leaves * max(1, b.Thicknesses))
	estimate := Range{b.Caliper.Least, b.Caliper.Most}.Times(leaves)
	from := newReason(fmt.Sprintf("%s of %s, {} each", leavesText(b.Leaves), b.CaliperOf), Range{b.Caliper.Least, b.Caliper.Most})
	if b.Thicknesses == 2 {
		from.Words += ", folded double"
	}
	if m.Stack > 0 {
		one := m.Stack / float64(m.StackLeaves)
		w.ask("a leaf", one, Range{b.Caliper.Least, b.Caliper.Most})
		estimate = Exactly(one * leaves)
		from = newReason(fmt.Sprintf("%s, of which %d measure {}", leavesText(b.Leaves), m.StackLeaves), Exactly(m.Stack))
	}
	w.Block = estimate
	if m.Block > 0 {
		w.ask("the block", m.Block, estimate)
		w.Block = Exactly(m.Block)
		from = newReason("measured")
	}
	w.addBefore(newLength("text block, thickness", w.Block, from))
}

// addPaper adds what is weighed and bought.
func (w *worker) addPaper() {
	b := w.Book
	if b.GSM != (Range{}) {
		area := b.Leaf.W * b.Leaf.H / 1e6 * float64(b.Leaves*max(1, b.Thicknesses))
		w.addBefore(Figure{Name: "text block, weight", Kind: Grams, Amount: b.GSM.Times(area),
			From: newReason(fmt.Sprintf("%s of %s", leavesText(b.Leaves), b.GSMOf))})
	}
	spares := w.Structure.Spares
	most := float64(b.Sheets) + math.Max(2, math.Ceil(float64(b.Sheets)*spares.Most))
	w.addBefore(Figure{Name: "sheets to buy", Kind: Pieces, Amount: Exactly(most),
		From: newReason(fmt.Sprintf("%d printed, and at least two, or one in %.0f, to spare", b.Sheets, 1/math.Max(spares.Most, 0.001)))})
}

// addStations decides where holes stand. What was asked for by its places wins.
func (w *worker) addStations() error {
	s, height := w.Structure, w.Book.Leaf.H
	if chosen := w.Measured.Stations; len(chosen) > 0 {
		for i, at := range chosen {
			kind := Hole
			if i == 0 || i == len(chosen)-1 {
				kind = s.endKind()
			}
			if !(at > 0 && at < height) || i > 0 && at-chosen[i-1] < 1 {
				return refuse("", stationsText("stations at ", chosen, " do not fit on a back of {}", Exactly(height)))
			}
			w.Stations.Holes = append(w.Stations.Holes, Station{at, kind, 0})
		}
		w.Stations.Notes = []Reason{newReason("they are those that {} named", phrase.Set("stations"))}
		return nil
	}
	var err error
	w.Stations, err = s.Stations(height, w.Measured.Supports)
	return err
}

// stationsText is words with places between them.
func stationsText(before string, places []float64, after string, more ...any) Reason {
	r := Reason{Words: before + strings.TrimSuffix(strings.Repeat("{}, ", len(places)), ", ") + after}
	for _, at := range places {
		r.Values = append(r.Values, Exactly(at))
	}
	r.Values = append(r.Values, more...)
	return r
}

// addSwelling adds by how much thread makes the back thicker.
func (w *worker) addSwelling() {
	s := w.Structure
	if s.Sewn != Folds {
		return
	}
	thread := w.threadThickness()
	between := float64(w.Book.Gatherings)
	from := newReason(fmt.Sprintf("%s, each with one thickness of thread, {}", reorder.Count(w.Book.Gatherings, "gathering")), thread)
	if s.TwoOn {
		between /= 2
		from.Words += ", two gatherings sewn on with one"
	}
	loose := thread.Times(between)
	w.Swelling = loose.By(s.Pressed)
	w.addBefore(newLength("swelling before pressing, at most", loose, from))
	w.addBefore(newLength("swelling after pressing", w.Swelling, newReason(fmt.Sprintf("%s of it", s.Pressed))))
	share := w.Swelling.Over(w.Block)
	wanted := newReason(fmt.Sprintf("of the block; %s to %s percent are wanted for a %s back", percent(s.SwellWanted.Least), percent(s.SwellWanted.Most), s.Back))
	w.addBefore(Figure{Name: "swelling, share", Kind: Percent, Amount: share, From: wanted})
	if a := SwellingAdvice(share, s); a != "" {
		w.Advice = append(w.Advice, a)
	}
}

func (w *worker) threadThickness() Range {
	if t := w.Measured.Thread; t > 0 {
		w.ask("the thread", t, w.Structure.Thread)
		return Exactly(t)
	}
	return w.Structure.Thread
}

// SwellingAdvice says what to do where a swelling, as a share of the block, is
// surely more, or surely less, than the back of the structure wants; empty
// where it may be right.
func SwellingAdvice(share Range, s Structure) string {
	least, most := percent(share.Least), percent(share.Most)
	switch {
	case share.Least > s.SwellWanted.Most && least != percent(s.SwellWanted.Most):
		remedy := "take thinner thread, more sheets per gathering, or sew two gatherings on at a time"
		if s.TwoOn {
			remedy = "take thinner thread or more sheets per gathering"
		}
		return fmt.Sprintf("the thread will swell the back by at least %s percent of the block, more than the %s that a %s back bears: %s",
			least, percent(s.SwellWanted.Most), s.Back, remedy)
	case share.Most < s.SwellWanted.Least && most != percent(s.SwellWanted.Least):
		return fmt.Sprintf("the thread will swell the back by at most %s percent of the block, less than the %s that a %s back needs: take thicker thread or fewer sheets per gathering",
			most, percent(s.SwellWanted.Least), s.Back)
	}
	return ""
}

func percent(share float64) string { return fmt.Sprintf("%.0f", share*100) }

// addThread adds how much thread is needed.
func (w *worker) addThread() {
	s, height := w.Structure, w.Book.Leaf.H
	w.addBefore(newLength("thread, diameter", w.threadShown(), w.threadFrom()))
	if s.Sewn != Folds {
		w.addBefore(newLength("thread, length", s.Times.Times(height*float64(w.passes())), newReason(fmt.Sprintf("%s times the back of {}%s", s.Times, w.passesText()), Exactly(height))))
		return
	}
	holes := w.Stations.Holes
	run := holes[len(holes)-1].At - holes[0].At
	rows, how := float64(w.Book.Gatherings), "sewn all along"
	if s.TwoOn {
		rows, how = math.Ceil(rows/2), "sewn two on"
	}
	total := s.Over.Plus(Exactly(rows)).Times(run).Plus(s.Start.Exactly())
	w.addBefore(newLength("thread, length", total,
		newReason(fmt.Sprintf("{} from end station to end station, %s %s; %s lengths over and {} to begin with", reorder.Count(w.Book.Gatherings, "gathering"), how, s.Over), Exactly(run), s.Start.Exactly())))
}

func (w *worker) threadShown() Range {
	if t := w.Measured.Thread; t > 0 {
		return Exactly(t)
	}
	return w.Structure.Thread
}

func (w *worker) threadFrom() Reason {
	if w.Measured.Thread > 0 {
		return newReason("measured")
	}
	return newReason("default; give yours with {}", phrase.Set("thread"))
}

// passes is how often thread goes the length of the back.
func (w *worker) passes() int {
	if w.Structure.Sewn == ThroughCover {
		return w.Book.Gatherings
	}
	return 1
}

func (w *worker) passesText() string {
	if w.passes() > 1 {
		return fmt.Sprintf(", %d gatherings", w.passes())
	}
	return ""
}

// addSupports adds the cords or tapes with their slips.
func (w *worker) addSupports() {
	s, n := w.Structure, len(w.Stations.Supports)
	if s.Support == NoSupport || n == 0 {
		return
	}
	thick := w.Block.Plus(w.Swelling)
	slips := thick.Plus(s.Slip.Exactly().Times(2))
	from := newReason("back of {} and a slip of {} on each side; and what your frame needs", thick, s.Slip.Exactly())
	if times := thick.By(s.CordTimes); times.Most > slips.Most {
		slips = Range{math.Max(times.Least, slips.Least), times.Most}
		from = newReason(fmt.Sprintf("%s times the back of {}, which is more than two slips of {}; and what your frame needs", s.CordTimes), thick, s.Slip.Exactly())
	}
	f := newLength(s.Support.String(), slips, from)
	f.Number = n
	w.addBefore(f)
	if s.LacingHoles > 0 {
		w.addAfter(newLength("lacing holes, from the back edge of the board", s.LacingHoles.Exactly(), newReason("the structure's rule")))
	}
}
