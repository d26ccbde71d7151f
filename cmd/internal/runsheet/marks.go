package runsheet

import "foldwright/reorder"

// Marked says what the marks on the sheets are for.
type Marked struct{ Marks Marks }

func (m Marked) Text() Text {
	t := Text{Lead: say("There are marks on the sheets. They lie in folds, on cuts or on what is trimmed off, never on a page:")}
	k := m.Marks
	if k.Fold {
		t.List = append(t.List, say("Short thin strokes at the ends of each fold: the crease runs from one to the other."))
	}
	if k.Cut {
		t.List = append(t.List, say("Short dashed strokes at the ends of each cut before folding, on the faces that then lie up: the cut runs from one to the other."))
	}
	if k.Collation {
		t.List = append(t.List, say("A dark block on the fold of each gathering, outside. It shows when one is missing or out of its order."))
	}
	switch k.Signing {
	case reorder.Letters:
		t.List = append(t.List, say("The letter of each gathering, at the foot of its first page in the fold: A to Z without J, V and W, then AA, BB and so on."))
	case reorder.Numbers:
		t.List = append(t.List, say("The number of each gathering, at the foot of its first page in the fold."))
	}
	if k.Stations {
		t.List = append(t.List, say("In the innermost fold of each gathering, pairs of short strokes: {} between the two of a pair. The dark point beside them shows to the head.", wPierce))
	}
	if k.Corners {
		t.List = append(t.List, say("Fine strokes outside the corners of each leaf: {} along them.", wTrim))
	}
	return t
}
