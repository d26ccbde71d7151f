package binding

import (
	"fmt"
	"math"
	"strings"

	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// Sheet is all figures of a book.
type Sheet struct {
	Book      Book
	Structure Structure
	Units     Units // of its figures and texts
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

// Headline is what is sewn, and how.
func (s Sheet) Headline() string {
	return fmt.Sprintf("%s, %s, %s of %s", s.Structure.Title, reorder.Count(s.Book.Gatherings, "gathering"), reorder.Count(s.Book.Sheets, "sheet"), s.Book.Paper)
}

// Options is how a book is measured.
type Options struct {
	Structure Structure
	Measured  Measured
	Units     Units // zero is MM
	Edges     bool  // the leaves are held at their edges, there are no folds to sew through
}

// Third of a circle, as a back is rounded: the arc in parts of its chord, and
// how deep it is (derived).
var (
	ArcOfChord   = 2 * math.Pi / 3 / math.Sqrt(3)
	DepthOfChord = 1 / (2 * math.Sqrt(3))
)

// Measure works out the figures of a book, and refuses what cannot be.
func Measure(b Book, o Options) (Sheet, error) {
	w := &worker{Sheet: Sheet{Book: b, Structure: o.Structure, Units: max(o.Units, MM)}, measured: o.Measured}
	m := o.Measured
	if err := m.check(w.Units); err != nil {
		return Sheet{}, err
	}
	if err := o.Structure.holds(b, o.Edges); err != nil {
		return Sheet{}, err
	}
	// The folds are pierced before anything is trimmed and measured.
	if err := w.placeStations(); err != nil {
		return Sheet{}, err
	}
	if err := w.addLeaf(); err != nil {
		return Sheet{}, err
	}
	w.addBlock()
	w.addPaper()
	w.addSewing()
	w.addSupports()
	w.addBack()
	if err := w.addBoards(); err != nil {
		return Sheet{}, err
	}
	w.addCover()
	w.addLinings()
	w.Firm = m.Block > 0 && (m.Board > 0 || w.Structure.Cover == Paper) && (m.Back > 0 || w.Structure.Back == Flat)
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

// times is so many of a figure.
func (f Figure) times(number int) Figure {
	if number > 1 {
		f.Value = fmt.Sprintf("%d of %s", number, f.Value)
	}
	return f
}

// loose is a figure of a piece that is cut by itself, besides boards and cover.
func (f Figure) loose() Figure {
	f.Loose = true
	return f
}

// third is by how much of the estimate a measured figure may differ unasked.
const third = 1.0 / 3

// ask asks about a measured figure that is far from its estimate.
func (w *worker) ask(what string, measured float64, estimate Range) {
	if measured < estimate.Least*(1-third) || measured > estimate.Most*(1+third) {
		w.Questions = append(w.Questions, w.say("%s was measured as %s, and was expected at %s: is that right?", what, Exactly(measured), estimate))
	}
}

// choose is a figure that the structure's rule gives unless it was measured.
func (w *worker) choose(what string, measured float64, rule Range, flag string) (Range, string) {
	if measured > 0 {
		w.ask(what, measured, rule)
		return Exactly(measured), "measured"
	}
	return rule, "the structure's rule; " + flag + " tells yours"
}

// ends is the ends of the back in a list.
func (w *worker) ends() string {
	first, last := w.Book.Ends()
	return first + ", " + last
}

func (w *worker) addLeaf() error {
	from := "the plan, nothing is trimmed off"
	if t := w.Book.Trim; t != (reorder.Trim{}) {
		from = w.say("the plan: %s, %s and %s are trimmed off %s and fore-edge", Exactly(t.Head), Exactly(t.Tail), Exactly(t.ForeEdge), w.ends())
	}
	if m := w.measured.Leaf; m.W > 0 {
		w.ask("the leaf's width", m.W, Exactly(w.Book.Leaf.W))
		w.ask("the leaf's height", m.H, Exactly(w.Book.Leaf.H))
		full := w.Book.UntrimmedLeaf()
		if m.W > full.W+paperTolerance || m.H > full.H+paperTolerance {
			return refuse("measure one leaf of the folded book, not the sheet",
				w.say("a leaf of %s x %s cannot be: before trimming it is %s x %s", Exactly(m.W), Exactly(m.H), Exactly(full.W), Exactly(full.H)))
		}
		w.Book.Leaf, w.Book.Trim = m, trimLeft(w.Book.Trim, full, m)
		from = "measured"
	}
	across, along := w.Book.Axes()
	w.addBefore(w.piece("leaf, "+across+" x "+along, Exactly(w.Book.Leaf.W), Exactly(w.Book.Leaf.H), from))
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
	b, m := w.Book, w.measured
	leaf := Range{b.Caliper.Least, b.Caliper.Most}
	from := w.say("%s of %s, %s each", LeavesText(b.Leaves), b.CaliperOf, leaf)
	if b.Thicknesses == 2 {
		from += ", folded double"
	}
	if m.Stack > 0 {
		one := m.Stack / float64(m.StackLeaves)
		w.ask("a leaf", one, leaf)
		leaf = Exactly(one)
		from = w.say("%s, of which %d measure %s", LeavesText(b.Leaves), m.StackLeaves, Exactly(m.Stack))
	}
	w.Block = leaf.Times(b.thicknesses())
	if m.Block > 0 {
		w.ask("the block", m.Block, w.Block)
		w.Block, from = Exactly(m.Block), "measured"
	}
	w.addBefore(w.length("text block, thickness", w.Block, from))
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
	w.addBefore(Figure{Name: "sheets to buy", Value: fmt.Sprint(most), Amount: Exactly(float64(most)),
		From: fmt.Sprintf("%d printed, and at least two, or one in %.0f, to spare", b.Sheets, 1/max(spares, 0.001))})
}

// placeStations decides where holes stand. What was asked for by its places wins.
func (w *worker) placeStations() (err error) {
	s, height, chosen := w.Structure, w.Book.Leaf.H, w.measured.Stations
	if len(chosen) == 0 {
		w.Stations, err = s.Stations(w.Units, height, w.measured.Supports)
		return err
	}
	var places []string
	for _, at := range chosen {
		places = append(places, w.Units.Length(Exactly(at)))
	}
	for i, at := range chosen {
		kind := Hole
		if i == 0 || i == len(chosen)-1 {
			kind = s.endKind()
		}
		if !(at > 0 && at < height) || i > 0 && at-chosen[i-1] < 1 {
			return refuse("", w.say("stations at %s do not fit on a back of %s", strings.Join(places, ", "), Exactly(height)))
		}
		w.Stations.Holes = append(w.Stations.Holes, Station{at, kind, 0})
	}
	w.Stations.Notes = []string{"they are those that --stations named"}
	return nil
}

// addSewing adds the thread, and by how much it makes the back thicker.
func (w *worker) addSewing() {
	s, gatherings := w.Structure, reorder.Count(w.Book.Gatherings, "gathering")
	thread, from := w.choose("the thread", w.measured.Thread, s.Thread, "--thread")
	if s.Sewn == Folds {
		w.addSwelling(thread, gatherings)
	}
	w.addBefore(w.length("thread, diameter", thread, from))
	height := w.Book.Leaf.H
	if s.Sewn != Folds {
		rows, of := 1.0, ""
		if s.Sewn == ThroughCover {
			rows, of = float64(w.Book.Gatherings), ", "+gatherings
		}
		w.addThread(s.Times.Times(height*rows), w.say("%s times the back of %s%s", s.Times.String(), Exactly(height), of))
		return
	}
	holes := w.Stations.Holes
	run := holes[len(holes)-1].At - holes[0].At
	rows, how := float64(w.Book.Gatherings), "sewn all along"
	if s.TwoOn {
		rows, how = math.Ceil(rows/2), "sewn two on"
	}
	w.addThread(s.Over.Plus(Exactly(rows)).Times(run).Plus(s.Start.Exactly()),
		w.say("%s from end station to end station, %s %s; %s lengths over and %s to begin with", Exactly(run), gatherings, how, s.Over.String(), s.Start.Exactly()))
}

func (w *worker) addThread(r Range, from string) {
	w.addBefore(Figure{Name: "thread, length", Value: w.Units.threadLength(r), Amount: r, From: from})
}

func (w *worker) addSwelling(thread Range, gatherings string) {
	s, between := w.Structure, float64(w.Book.Gatherings)
	from := w.say("%s, each with one thickness of thread, %s", gatherings, thread)
	if s.TwoOn {
		between /= 2
		from += ", two gatherings sewn on with one"
	}
	loose := thread.Times(between)
	w.Swelling = loose.By(s.Pressed)
	w.addBefore(w.length("swelling before pressing, at most", loose, from))
	w.addBefore(w.length("swelling after pressing", w.Swelling, s.Pressed.String()+" of it"))
	share := w.Swelling.Over(w.Block)
	w.addBefore(Figure{Name: "swelling, share", Value: PercentText(share), Amount: share,
		From: fmt.Sprintf("of the block; %s to %s percent are wanted for a %s back", percent(s.SwellWanted.Least), percent(s.SwellWanted.Most), s.Back)})
	if a := SwellingAdvice(share, s); a != "" {
		w.Advice = append(w.Advice, a)
	}
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

// addSupports adds the cords or tapes with their slips.
func (w *worker) addSupports() {
	s, n := w.Structure, len(w.Stations.Supports)
	if s.Support == NoSupport || n == 0 {
		return
	}
	thick := w.Block.Plus(w.Swelling)
	slips := thick.Plus(s.Slip.Exactly().Times(2))
	from := w.say("back of %s and a slip of %s on each side; and what your frame needs", thick, s.Slip.Exactly())
	if times := thick.By(s.CordTimes); times.Most > slips.Most {
		slips = Range{max(times.Least, slips.Least), times.Most}
		from = w.say("%s times the back of %s, which is more than two slips of %s; and what your frame needs", s.CordTimes.String(), thick, s.Slip.Exactly())
	}
	w.addBefore(w.length(s.Support.String(), slips, from).times(n))
	if s.LacingHoles > 0 {
		w.addAfter(w.length("lacing holes, from the back edge of the board", s.LacingHoles.Exactly(), structuresRule))
	}
}
