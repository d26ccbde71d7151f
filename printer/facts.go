// Package printer turns what a person can see of a printer into the order and
// the turn of the images in the print files.
//
// [Facts] holds the eight facts of one way through one printer. [Facts.Check]
// refuses what cannot be; [Facts.Files] tells, for a run of n sheets, in
// which order each file holds them and whether its images are turned by half.
// Nothing here knows about files, PDF or people; package profiles stores the
// facts, package virtual (below this one) is a printer to try them on.
//
// A stack is named from the top down. A sheet's front and back are those of
// package reorder.
package printer

import "foldwright/reorder/enum"

// TwoSided tells whether the printer turns the paper itself.
type TwoSided = enum.Value[twoSidedWords]

const (
	ByHand TwoSided = iota + 1
	Automatic
)

// FeedFace is the face of a loaded sheet that comes out printed, seen in the
// tray from above.
type FeedFace = enum.Value[feedFaceWords]

const (
	FeedUp FeedFace = iota + 1
	FeedDown
)

// FeedFrom is the end of the loaded stack from which the next sheet is taken.
type FeedFrom = enum.Value[feedFromWords]

const (
	FromTop FeedFrom = iota + 1
	FromBottom
)

// Lands is how the face printed last (automatic: the front) comes to rest.
type Lands = enum.Value[landsWords]

const (
	FaceUp Lands = iota + 1
	FaceDown
)

// Stacks is where the next sheet comes to rest in the delivery.
type Stacks = enum.Value[stacksWords]

const (
	OnTop Stacks = iota + 1
	Beneath
)

// Sends is the order in which the computer sends a file's pages (of an
// automatic file: its sheets).
type Sends = enum.Value[sendsWords]

const (
	FirstPageFirst Sends = iota + 1
	LastPageFirst
)

// Reload is what the person does with the whole delivered stack between the
// passes. AsDelivered lifts it over without turning; Rotate turns it half
// round on the table; the two turns turn it over about an edge, which also
// reverses its order.
type Reload = enum.Value[reloadWords]

const (
	AsDelivered Reload = iota + 1
	RotateHalf
	TurnLong
	TurnShort
)

// FlipEdge is the edge about which a sheet has been turned between its two
// printings, trip and reload taken together.
type FlipEdge = enum.Value[flipEdgeWords]

const (
	LongEdge FlipEdge = iota + 1
	ShortEdge
)

// Facts are the facts of one way through one printer. The zero value of a
// field is "not given"; an automatic printer has no FeedFace, FeedFrom and Reload.
type Facts struct {
	TwoSided TwoSided `yaml:"two-sided,omitempty" json:"two-sided,omitzero"`
	FeedFace FeedFace `yaml:"feed-face,omitempty" json:"feed-face,omitzero"`
	FeedFrom FeedFrom `yaml:"feed-from,omitempty" json:"feed-from,omitzero"`
	Lands    Lands    `yaml:"lands,omitempty" json:"lands,omitzero"`
	Stacks   Stacks   `yaml:"stacks,omitempty" json:"stacks,omitzero"`
	Sends    Sends    `yaml:"sends,omitempty" json:"sends,omitzero"`
	Reload   Reload   `yaml:"reload,omitempty" json:"reload,omitzero"`
	FlipEdge FlipEdge `yaml:"flip-edge,omitempty" json:"flip-edge,omitzero"`
}

// The words for the values of each fact, as they stand in profiles.
type (
	twoSidedWords struct{}
	feedFaceWords struct{}
	feedFromWords struct{}
	landsWords    struct{}
	stacksWords   struct{}
	sendsWords    struct{}
	reloadWords   struct{}
	flipEdgeWords struct{}
)

func (twoSidedWords) Words() enum.Words { return enum.New("two-sided", "by-hand", "automatic") }
func (feedFaceWords) Words() enum.Words { return enum.New("feed-face", "up", "down") }
func (feedFromWords) Words() enum.Words { return enum.New("feed-from", "top", "bottom") }
func (landsWords) Words() enum.Words    { return enum.New("lands", "face-up", "face-down") }
func (stacksWords) Words() enum.Words   { return enum.New("stacks", "on-top", "beneath") }
func (sendsWords) Words() enum.Words    { return enum.New("sends", "first-page-first", "last-page-first") }
func (reloadWords) Words() enum.Words {
	return enum.New("reload", "as-delivered", "rotate", "turn-long", "turn-short")
}

func (flipEdgeWords) Words() enum.Words { return enum.New("flip-edge", "long", "short") }
