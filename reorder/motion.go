package reorder

import "foldwright/reorder/enum"

// Motion is one thing that hands do with the paper on the table, to every
// pile that lies there alike. [Form.Handwork] says which; the planner does
// them with numbered sheets to find out where pages stand, the run sheet tells
// them, and package paper follows them.
//
// The table is looked at from above by the person before it: Right and Left
// are theirs, Up is the far edge of a pile, Down the edge near them. Lengths
// are in mm from the left or the near edge of a pile.
type Motion interface{ motion() }

type (
	// Deal takes, from the top of what lies on the table, piles of so many
	// sheets or pieces, in this order.
	Deal struct{ Counts []int }

	// LayDown lays the piles before the person.
	LayDown struct {
		Singly   bool // every sheet or piece of a pile by itself, in their order
		Face     Side // which looks up
		Quarters int  // counter-clockwise, fronts still up, from how it lay before (from the stack: from feed orientation)
		// Upright is the edge at which all pages then stand upright, and Size
		// how large the pile is as it then lies: so the person finds the quarters.
		Upright Towards
		Size    Size
	}

	// CutPile cuts through a pile and lays one part on the other.
	CutPile struct {
		Line Line
		At   float64
		On   Over // which part is laid on which
		Turn bool // the part beneath is first turned half round, flat
	}

	// CutApart cuts through a pile and keeps both parts as books of their own.
	CutApart struct {
		Line Line
		At   float64
	}

	// CutOffInset cuts off the far or right-hand part of a sheet, turns it half
	// round, flat, and does to it what Inset says. It is laid aside until LayIn.
	CutOffInset struct {
		Line  Line
		At    float64
		Inset []Motion
	}

	// LayIn lays the folded inset into the middle of the folded rest.
	LayIn struct{}

	// FoldOver folds a pile.
	FoldOver struct {
		Over Over
		At   float64
	}

	// SlitBolt cuts a folded edge open so that the next fold does not crumple.
	SlitBolt struct {
		Edge Towards // which folded edge
		From Towards // from which end of it
		To   float64 // how far, beyond the line of the next fold
	}

	// NestPieces lays the folded pieces of a gathering into each other's
	// middles: the first stays outermost.
	NestPieces struct{}

	// Join lays the sheets of a pile, the first on top, into one strip: each
	// further one beyond the one before, its edge on the line At, over the rest
	// of that one, and glues it there. The rest of the last is cut off.
	Join struct {
		To Towards // where the strip goes on
		At float64 // from the edge of a sheet where the strip begins
	}

	// Pleat folds a strip to and fro at every Width, first backwards, so that
	// the printed faces come outside.
	Pleat struct {
		To    Towards // where the strip goes on from its first page
		Width float64
	}

	// Present brings a gathering into the position in which it is read: the
	// first page on top.
	Present struct {
		TurnOver bool // like the page of a book
		Quarters int  // then, counter-clockwise
		Spine    Towards
		Held     Hold
	}

	// OpenBolts cuts folded edges open, as the gathering then lies.
	OpenBolts struct{ Edges []Towards }
)

func (Deal) motion()        {}
func (LayDown) motion()     {}
func (CutPile) motion()     {}
func (CutApart) motion()    {}
func (CutOffInset) motion() {}
func (LayIn) motion()       {}
func (FoldOver) motion()    {}
func (SlitBolt) motion()    {}
func (NestPieces) motion()  {}
func (Join) motion()        {}
func (Pleat) motion()       {}
func (Present) motion()     {}
func (OpenBolts) motion()   {}

// Over is which part of a pile goes over the rest.
type Over int

const (
	RightOverLeft Over = iota + 1
	LeftOverRight
	FarOverNear
	NearOverFar
)

var overWords = enum.Words{What: "fold", List: []string{"right over left", "left over right", "far over near", "near over far"}}

func (o Over) String() string { return overWords.Of(int(o)) }
