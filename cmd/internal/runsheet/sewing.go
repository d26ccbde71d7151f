package runsheet

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/reorder"
)

// sewPart makes a book of the gatherings, for somebody who has never sewn one. It is nil
// where nothing is pierced.
func sewPart(j Job) []Part {
	if len(j.Bench) == 0 || j.Form.Fold.Scheme().Strip {
		return nil
	}
	s := Sewn{Sheet: j.Bench[0], Gatherings: len(j.Gatherings), Bind: j.Form.Bind, Marked: j.Marks.Stations}
	if len(j.Volumes) > 1 {
		s.Gatherings = j.Volumes[0].Last() - j.Volumes[0].First + 1
	}
	pierce := Stage{Heading: "Pierce the holes", Notes: []Note{needles}}
	sew := Stage{Heading: "Sew", Steps: []Step{threadStep(j)}}
	var cover []Stage
	switch s.Sheet.Structure.Sewn {
	case binding.OneFold:
		pierce.Steps = []Step{foldCoverStep, PierceHoles{s}}
		sew.Steps = append(sew.Steps, SewRow{s, 1}, tieStep)
	case binding.ThroughCover:
		pierce.Steps = []Step{wrapCoverStep, PierceHoles{s}, pierceCoverStep}
		sew.Steps = append(sew.Steps, s.rows()...)
		if s.Gatherings > 2 {
			sew.Steps = append(sew.Steps, furtherRowsStep)
		}
		sew.Steps = append(sew.Steps, lastKnotStep)
	case binding.Side:
		pierce.Steps = []Step{layCoversStep, PierceHoles{s}}
		sew.Steps = append(sew.Steps, sewSideStep(s))
	default:
		pierce.Steps = []Step{PierceHoles{s}}
		if s.Sheet.Structure.Support != binding.NoSupport {
			sew.Steps = append(sew.Steps, supportsStep(s))
		}
		sew.Steps = append(sew.Steps, s.rows()...)
		if s.Gatherings > 2 {
			sew.Steps = append(sew.Steps, SewFurther{s.Sheet.Structure.Links})
		}
		sew.Steps = append(sew.Steps, lastKnotStep)
		cover = []Stage{{Heading: coverHeading, Notes: []Note{knives, adhesives}, Steps: []Step{glueSpineStep, GlueCover{}}}}
	}
	part := Part{Anchor: "sew", Heading: "Sew the book", Stages: append([]Stage{pierce, sew}, cover...)}
	if bolts := j.handSteps().bolts; len(bolts) > 0 {
		part.Stages = append(part.Stages, Stage{Heading: "Open the bolts", Notes: []Note{knives}, Steps: bolts})
	}
	if len(j.Volumes) > 1 {
		part.Stages[0].Notes = append([]Note{eachVolumeNote}, part.Stages[0].Notes...)
	}
	return []Part{part}
}

// SewingStages is how the gatherings of a job with its bench figures are pierced and sewn; a cover of paper
// is made there too, one with boards is not. It is nil where nothing is pierced.
func SewingStages(j Job) (stages []Stage) {
	for _, p := range sewPart(j) {
		stages = append(stages, p.Stages...)
	}
	if len(j.Bench) > 0 && j.Bench[0].Structure.Cover != binding.Paper {
		stages = slices.DeleteFunc(stages, func(s Stage) bool { return s.Heading == coverHeading })
	}
	return stages
}

// coverHeading stands above the making of a simple cover.
const coverHeading = "Make a cover"

var eachVolumeNote = text("Each {} is sewn by itself, all in the same way.", wVolume)

// Sewn is what is sewn.
type Sewn struct {
	Sheet      binding.Sheet
	Gatherings int
	Bind       reorder.Bind
	Marked     bool // the innermost sheets bear marks where the holes are
}

// IsLastFirst tells with which gathering the sewing begins, so that the spine lies towards the
// person and the head at the left: with the last one, its first page up, or with the first
// one, its first page down.
func (s Sewn) IsLastFirst() bool { return s.Bind == reorder.BindLeft }

// holes is where they are from the untrimmed head, in mm, and in words.
func (s Sewn) holes() (at []float64, names []string) {
	for _, h := range s.Sheet.Stations.Holes {
		mm := h.At + s.Sheet.Book.Trim.Head
		at = append(at, mm)
		names = append(names, s.Sheet.Units.Length(binding.Exactly(mm)))
	}
	return at, names
}

// PierceHoles makes the holes.
type PierceHoles struct{ Sewn }

func (p PierceHoles) Text() Text {
	at, names := p.holes()
	head, _ := p.Sheet.Book.Ends()
	t := text("Open each {} in its middle, and pierce {} holes through its fold, from the inside out:", wGathering, len(at))
	t.More = []Sentence{say("Mark the places on a strip of card once, and lay it into every fold.")}
	switch p.Sheet.Structure.Sewn {
	case binding.OneFold:
		t.Lead = say("Open the {} in its middle, and pierce {} holes through the fold and the cover, from the inside out:", wGathering, len(at))
		t.More = nil
	case binding.Side:
		t.Lead = say("Pierce {} holes through covers and leaves, {} from the {}:", len(at), p.Sheet.Units.Length(p.Sheet.Structure.FromSpine), wSpine)
		t.More = nil
	}
	for i, name := range names {
		t.List = append(t.List, say("hole {}: {} from the {}", i+1, name, head))
	}
	if p.Marked && p.Sheet.Structure.Sewn != binding.Side {
		t.More = append(t.More, say("The innermost sheet bears pairs of short strokes at these places: pierce between the two."))
	}
	return t
}

func (p PierceHoles) Drawing() drawing.Drawing {
	at, names := p.holes()
	return drawing.Holes{Length: p.Sheet.Book.UntrimmedLeaf().H, At: at, Names: names}
}

// rows are the steps that sew the first two gatherings.
func (s Sewn) rows() []Step {
	steps := []Step{SewRow{s, 1}}
	if s.Gatherings > 1 {
		steps = append(steps, SewRow{s, 2})
	}
	return steps
}

// SewRow sews a gathering: the first or the second one.
type SewRow struct {
	Sewn
	Number int
}

// stitches is the way so far, and how much of it was made before.
func (r SewRow) stitches() (way []binding.Stitch, before int) {
	if r.Number == 1 {
		return r.Sheet.Way(1), 0
	}
	return r.Sheet.Way(r.Number), len(r.Sheet.Way(r.Number - 1))
}

func (r SewRow) Text() Text {
	way, before := r.stitches()
	var words []string
	for i, w := range way[before:] {
		word := fmt.Sprintf("out at hole %d", w.Hole)
		if w.In {
			word = fmt.Sprintf("in at hole %d", w.Hole)
		}
		switch {
		case w.Link && r.Sheet.Structure.Links == binding.AtHoles:
			word = "down behind the thread below and up again, " + word
		case w.Link:
			word = "over the tape and under the thread that lies on it below, " + word
		case i > 0 && w.In:
			if support := r.Sheet.Stations.Holes[w.Hole-1].Support; support > 0 {
				word = map[binding.Support]string{binding.Tapes: "over the tape, ", binding.Cords: "round the cord, "}[r.Sheet.Structure.Support] + word
			}
		}
		words = append(words, word)
	}
	path := say("{}.", strings.ToUpper(words[0][:1])+strings.Join(words, ", ")[1:])
	tight := say("Pull the thread tight along the fold, never away from it: that tears the paper.")
	if r.Sheet.Structure.Sewn == binding.OneFold {
		return Text{
			Lead: say("Begin outside, at the middle hole, and leave a hand's breadth of thread hanging there."),
			List: []Sentence{path}, Else: tight,
		}
	}
	which, page, next := "first", "down", "next"
	if r.IsLastFirst() {
		which, page, next = "last", "up", "one before it"
	}
	if r.Gatherings == 1 {
		which = "only"
	}
	if r.Number == 1 {
		head, _ := r.Sheet.Book.Ends()
		return Text{
			Lead: say("Lay the {} {} {}, its first page {} and its {} towards you: the {} is at your left. Leave a hand's breadth of thread hanging at the first hole.", which, wGathering, r.where(), page, wSpine, head),
			List: []Sentence{path}, Else: tight,
		}
	}
	return Text{
		Lead: say("Lay the {} on top of it, also with its first page {}, and sew it back the other way.", next, page),
		List: []Sentence{path},
		Else: say("Pull tight. Then tie the thread to the end that you left hanging, with two knots."),
	}
}

// where the first gathering is laid.
func (s Sewn) where() string {
	if s.Sheet.Structure.Sewn == binding.ThroughCover {
		return "into the cover, at its row of holes"
	}
	return "on the table"
}

func (r SewRow) Drawing() drawing.Drawing {
	way, before := r.stitches()
	at, _ := r.holes()
	d := drawing.Sewing{What: "The first gathering to be sewn", Length: r.Sheet.Book.UntrimmedLeaf().H, At: at, Way: way, Before: before}
	if r.Number > 1 {
		d.What = "The second gathering to be sewn"
	}
	if r.Sheet.Structure.Support == binding.Tapes {
		for i := 1; i < len(r.Sheet.Stations.Holes); i++ {
			a, b := r.Sheet.Stations.Holes[i-1], r.Sheet.Stations.Holes[i]
			if a.Support > 0 && a.Support == b.Support {
				d.Tapes = append(d.Tapes, [2]int{i, i + 1})
			}
		}
	}
	return d
}

// sideWay is the holes in their order; the needle goes up at the first, down at the
// next, and so on, and ends below.
func sideWay(holes int) []int {
	order := []int{2, 1}
	for h := 2; h <= holes; h++ {
		order = append(order, h)
	}
	for h := holes - 1; h > 2; h-- {
		order = append(order, h)
	}
	return order
}

// sewSideStep sews through the side: every stretch between two holes is covered above and below,
// and at every hole the thread goes round the spine.
func sewSideStep(s Sewn) Text {
	order := sideWay(len(s.Sheet.Stations.Holes))
	t := text("Sew in this order. Leave a hand's breadth of thread hanging below hole 2.")
	var seen []int
	for i, hole := range order {
		way := "up"
		if i%2 == 1 {
			way = "down"
		}
		sentence := say("{} through hole {}", way, hole)
		switch {
		case slices.Contains(seen, hole):
		case hole == 1:
			sentence = say("{}; round the {} and {} again; round the head and {} again", sentence, wSpine, way, way)
		case hole == len(s.Sheet.Stations.Holes):
			sentence = say("{}; round the {} and {} again; round the tail and {} again", sentence, wSpine, way, way)
		default:
			sentence = say("{}; round the {} and {} again", sentence, wSpine, way)
		}
		seen = append(seen, hole)
		t.List = append(t.List, sentence)
	}
	t.Else = say("You are below hole 2 again, beside the end that hangs there. Tie both together with two knots, and cut them short.")
	return t
}

// threadStep says how much thread to cut.
func threadStep(j Job) Text {
	t := text("Thread a needle with linen thread. Draw it over a piece of wax: it knots less.").
		why("Sew with as much as your two arms can span. When it runs out, knot on more, the knot inside a fold.")
	for i, sheet := range j.Bench {
		for _, f := range sheet.Before {
			if strings.HasPrefix(f.Name, "thread") {
				line := say("{}: {}", f.Name, f.Value)
				if len(j.Bench) > 1 {
					line = say("volume {}, {}", i+1, line)
				}
				t.List = append(t.List, line)
			}
		}
	}
	return t
}

// supportsStep sets up the tapes or cords.
func supportsStep(s Sewn) Text {
	what, n := "tapes", len(s.Sheet.Stations.Supports)
	if s.Sheet.Structure.Support == binding.Cords {
		what = "cords"
	}
	t := text("Cut {} {}, each three hands long. Stick one end of each to the underside of the table's edge, so that they stand up in front of the {}, each at its holes.", n, what, wSpine)
	if what == "tapes" {
		t.More = []Sentence{say("Strong woven ribbon {} wide will do.", s.Sheet.Units.Length(s.Sheet.Structure.Width))}
	}
	return t
}

// What is done with gatherings, cover and thread whatever the book is.
var (
	furtherRowsStep = text("Sew every further {} in the same way, to and fro, each through its own row of holes.", wGathering).
			why("The thread goes from row to row on the outside of the cover.")
	lastKnotStep  = text("When the last {} is sewn, pass the needle behind the thread below it twice, each time through the loop. Pull tight, and cut the thread off a finger's breadth away.", wGathering)
	tieStep       = text("Pull both ends tight, one on each side of the long stitch. Tie them over it with two knots, and cut them short.")
	foldCoverStep = text("Cut a cover from strong paper, as large as an opened sheet of the {}, fold it in half and lay it around.", wGathering)
	wrapCoverStep = text("Cut a cover from strong paper: as high as the book, and wide enough for front, {} and back, with a flap of half a page's width at both ends.", wSpine).
			why("Lay the {} on each other, press them together and measure how thick they are: the {} of the cover is as wide as that. Fold the cover at both edges of the {}.", wGathering.as("gatherings"), wSpine, wSpine)
	pierceCoverStep = text("Pierce the same holes into the cover: a row for each {}, side by side over the width of the {}.", wGathering, wSpine)
	layCoversStep   = text("Cut two covers from strong paper, as large as the leaves. Lay one on either side of the book, knock everything even, and hold it with clips.")
	glueSpineStep   = text("Knock the sewn book even at {} and head. Lay it between two boards with a weight on top, so that the {} looks out a little, and brush bookbinder's glue thinly over it.", wSpine, wSpine).
			why("White wood glue that stays flexible will do. Rub it in between the {}, and let it dry for some hours.", wGathering.as("gatherings"))
)

// SewFurther sews all gatherings after the second, each linked to those below it.
type SewFurther struct{ Links binding.Links }

func (f SewFurther) Text() Text {
	end := "At the end of each make a kettle stitch before you go on:"
	t := text("Sew every further {} in the same way, to and fro. {}", wGathering, end)
	switch f.Links {
	case binding.AtHoles:
		t = text("Sew every further {} in the same way, to and fro, with a chain of loops at each hole:", wGathering).
			item("At every hole between the ends, pass the needle between the two gatherings below, behind the thread that joins them, and go in again where you came out.")
	case binding.OverTapes:
		t = text("Sew every further {} in the same way, to and fro, so that the threads hold each other on the tapes:", wGathering).
			item("At every tape, pass the needle under the thread of the gathering just below before you go in.")
	}
	if f.Links != binding.Kettles {
		t = t.item(end)
	}
	return t.item("Pass the needle between the two gatherings below, behind the thread that joins them.").
		item("Bring it up through the loop that you have made, and pull tight.")
}

func (SewFurther) Drawing() drawing.Drawing { return drawing.Kettle{} }

// GlueCover makes a cover of a strip of paper.
type GlueCover struct{}

func (GlueCover) Text() Text {
	return text("Cut a strip of strong paper, as high as the book and wide enough for front, {} and back. Fold it at both edges of the {}, glue it to the {} only, and press it under a weight until it is dry.", wSpine, wSpine, wSpine).
		why("Make the two folds as far apart as the book is thick. Cut tapes or cords off so that they lie a finger's breadth under the cover, and glue them down first.")
}

func (GlueCover) Drawing() drawing.Drawing { return drawing.Wrap{} }
