package runsheet

import "foldwright/reorder"

// Grain is how the paper's fibres must lie. In a book they run along the
// spine (Roberts and Etherington, Bookbinding and the Conservation of Books).
type Grain struct {
	// LongEdge tells that the spine lies along the long edge of the unfolded
	// sheet, so that the grain has to lie there too.
	LongEdge bool
	Paper    reorder.Paper
}

func newGrain(j Job) Grain { return Grain{j.Form.SpineAlongHeight(j.Paper.Size), j.Paper} }

// Larger is the size of a sheet that halves into two of the paper.
func (g Grain) Larger() reorder.Size {
	return reorder.Size{W: g.Paper.Size.H, H: 2 * g.Paper.Size.W}.Portrait()
}

func (g Grain) Text() Text {
	t := Text{}
	if g.LongEdge {
		t.Lead = say("The {} of the paper should run along the {}, and with paper whose grain runs along its long edge it does. Most office paper is made so.", wGrain, wSpine)
	} else {
		t.Lead = say("The {} of the paper should run along the {}. Most office paper has it along the long edge, and in this book it then runs across the spine.", wGrain, wSpine)
		t.More = append(t.More,
			say("Such a book can be made and read, but it opens stiffly and its pages may wave at the fold."),
			say("The cure: buy sheets of {} whose grain runs along their long edge, and have a shop cut each square into two sheets of {}. Their grain then runs along the short edge.", bothUnits(g.Larger()), paperWord(g.Paper)),
		)
	}
	return t
}

// FindGrain is how to find the grain of a paper.
type FindGrain struct{}

func (FindGrain) Text() Text {
	return Text{
		Lead: say("To find the {} of a paper, try a spare sheet, and do not print on it afterwards:", wGrain),
		List: []Sentence{
			say("Bend it loosely both ways, without a crease. It bends more easily when the bend runs along the grain."),
			say("Tear it both ways. Along the grain the tear runs straighter."),
			say("Dampen a piece. It rolls itself up, and the roll lies along the grain."),
		},
	}
}
