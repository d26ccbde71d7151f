package reorder

import "foldwright/reorder/enum"

// Fold is a way of making leaves of a printed sheet or of a piece of it.
type Fold int

const (
	Folio      Fold = iota + 1 // folded once
	Quarto                     // twice
	Octavo                     // three times
	Sixteenmo                  // four times
	Duodecimo                  // in twelve leaves, four of them cut off as an inset
	Loose                      // not folded: a stack of single leaves
	Pouch                      // printed on one side, folded at the fore-edge, never opened
	Concertina                 // one long strip, folded to and fro
)

// Line is how a crease or a cut lies on the sheet as its pages are read.
type Line int

const (
	Longer  Line = iota + 1 // so that it halves the longer dimension
	Upright                 // from the near edge to the far one, as the spine of a book lies
	Level                   // from left to right
)

// Hold is what keeps the leaves of a gathering together.
type Hold int

const (
	Sewn  Hold = iota + 1 // thread through the last fold
	Edges                 // glue or thread through the open edges; folds stay closed
)

// Scheme is all there is to know of a fold. What the hands do
// ([Form.Handwork]) and the order of the pages ([Arrange]) follow from it.
type Scheme struct {
	Name    string
	Creases []Line  // how a sheet or piece is folded in the middle, first to last
	CutOff  *CutOff // what is cut off before it is folded
	Held    Hold
	// OneSided: only the fronts are printed, the backs are never seen.
	OneSided bool
	// Strip: sheets are joined end to end and folded to and fro between pages.
	Strip bool
	// Whole: no cuts before folding.
	Whole bool
	// Alone: a gathering is one sheet.
	Alone bool
	// OneStack: all sheets together are one gathering.
	OneStack bool
	// Handy is the most sheets or pieces in a gathering that a hand folds well;
	// 0 is no limit.
	Handy int
}

// CutOff is an inset: the far end of the sheet is cut off, turned half round,
// folded by itself and laid into the middle of the rest.
type CutOff struct {
	Share   float64 // of the height as the pages are read
	Creases []Line
}

// schemes is every fold. Leaves and pages of folio 2/4, quarto 4/8 and octavo
// 8/16: Douglas Cockerell, Bookbinding, and the Care of Books, 1901, p. 36;
// the inset of the duodecimo: his Fig. 4.
var schemes = map[Fold]Scheme{
	Folio:     {Name: "folio", Creases: []Line{Longer}, Held: Sewn},
	Quarto:    {Name: "quarto", Creases: []Line{Longer, Longer}, Held: Sewn},
	Octavo:    {Name: "octavo", Creases: []Line{Longer, Longer, Longer}, Held: Sewn, Handy: 2},
	Sixteenmo: {Name: "sixteenmo", Creases: []Line{Longer, Longer, Longer, Longer}, Held: Sewn, Handy: 1},
	Duodecimo: {
		Name: "duodecimo", Creases: []Line{Upright, Level, Upright}, Held: Sewn, Whole: true, Alone: true,
		CutOff: &CutOff{1.0 / 3, []Line{Upright, Upright}},
	},
	Loose:      {Name: "loose", Held: Edges, Whole: true, OneStack: true},
	Pouch:      {Name: "pouch", Creases: []Line{Longer}, Held: Edges, OneSided: true, Whole: true, Alone: true},
	Concertina: {Name: "concertina", Held: Edges, OneSided: true, Strip: true, Whole: true, OneStack: true},
}

var foldWords = func() enum.Words {
	w := enum.New("fold")
	for f := Fold(1); schemes[f].Name != ""; f++ {
		w.List = append(w.List, schemes[f].Name)
	}
	return w
}()

// Folds is every fold.
func Folds() []Fold {
	all := make([]Fold, len(foldWords.List))
	for i := range all {
		all[i] = Fold(i + 1)
	}
	return all
}

// Scheme is what there is to know of the fold.
func (f Fold) Scheme() Scheme { return schemes[f] }

func (f Fold) String() string                   { return foldWords.Of(int(f)) }
func (f Fold) MarshalText() ([]byte, error)     { return []byte(f.String()), nil }
func (f *Fold) UnmarshalText(text []byte) error { return enum.Parse(f, foldWords, string(text)) }

// layers is how many thicknesses a folded sheet or piece has.
func (s Scheme) layers() int {
	n := 1 << len(s.Creases)
	if s.CutOff != nil {
		n += 1 << len(s.CutOff.Creases)
	}
	return n
}
