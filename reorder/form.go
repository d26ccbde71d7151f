package reorder

import (
	"fmt"

	"foldwright/reorder/enum"
)

// Fold is a fold scheme. Each time, the packet is folded so that its longer
// dimension is halved; the last fold is the one that is sewn through.
type Fold struct {
	Name  string // the trade's name
	Times int    // how often the piece is folded
}

// The schemes of the trade: leaves and pages of a folio 2/4, quarto 4/8,
// octavo 8/16 (Douglas Cockerell, Bookbinding, and the Care of Books, 1901, p. 36).
var (
	Folio     = Fold{"folio", 1}
	Quarto    = Fold{"quarto", 2}
	Octavo    = Fold{"octavo", 3}
	Sixteenmo = Fold{"sixteenmo", 4}
)

// Folds is every scheme, in rising number of leaves.
func Folds() []Fold { return []Fold{Folio, Quarto, Octavo, Sixteenmo} }

func (f Fold) String() string { return f.Name }

// Leaves is the number of leaves a folded piece has.
func (f Fold) Leaves() int { return 1 << f.Times }

// Nest is how the pieces of one gathering come together. For folios the two
// give the same book.
type Nest int

const (
	Inset    Nest = iota + 1 // each folded by itself, then laid into the one before it
	Together                 // laid on each other flat and folded as one
)

var nestWords = enum.Words{What: "nest", List: []string{"inset", "together"}}

func (n Nest) String() string { return nestWords.Of(int(n)) }

func (n Nest) MarshalText() ([]byte, error) { return []byte(n.String()), nil }

func (n *Nest) UnmarshalText(text []byte) error { return enum.Parse(n, nestWords, string(text)) }

// Bind is the edge of the book, its front cover up, at which the spine lies.
type Bind int

const (
	BindLeft Bind = iota + 1
	BindRight
)

var bindWords = enum.Words{What: "bind", List: []string{"left", "right"}}

func (b Bind) String() string { return bindWords.Of(int(b)) }

func (b Bind) MarshalText() ([]byte, error) { return []byte(b.String()), nil }

func (b *Bind) UnmarshalText(text []byte) error { return enum.Parse(b, bindWords, string(text)) }

// Form is how printed sheets become gatherings: what is cut, how each piece
// is folded, how the pieces come together and where the spine is.
type Form struct {
	Fold Fold
	Cut  int // pieces that a printed sheet is cut into before folding: 1, 2 or 4
	Nest Nest
	Bind Bind
}

// FolioForm is the form of the usual hand-sewn book: uncut sheets, folded
// once, inset, the spine at the left.
var FolioForm = Form{Fold: Folio, Cut: 1, Nest: Inset, Bind: BindLeft}

// PagesPerSheet is the number of pages that one printed sheet carries.
func (f Form) PagesPerSheet() int { return 2 * f.Fold.Leaves() * f.Cut }

// FormError says which part of a form cannot be.
type FormError struct{ What string }

func (e *FormError) Error() string { return e.What }

// Check refuses a form that names no way of folding with a [*FormError].
func (f Form) Check() error {
	if f.Fold.Times < 1 || f.Fold.Times > 4 {
		return &FormError{fmt.Sprintf("a piece is folded 1 to 4 times, not %d", f.Fold.Times)}
	}
	if f.Cut != 1 && f.Cut != 2 && f.Cut != 4 {
		return &FormError{fmt.Sprintf("a sheet is cut into 1, 2 or 4 pieces, not %d", f.Cut)}
	}
	if f.Nest != Inset && f.Nest != Together {
		return &FormError{"how the pieces come together is not given"}
	}
	if f.Bind != BindLeft && f.Bind != BindRight {
		return &FormError{"the edge with the spine is not given"}
	}
	return nil
}
