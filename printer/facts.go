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
type TwoSided int

const (
	ByHand TwoSided = iota + 1
	Automatic
)

// FeedFace is the face of a loaded sheet that comes out printed, seen in the
// tray from above.
type FeedFace int

const (
	FeedUp FeedFace = iota + 1
	FeedDown
)

// FeedFrom is the end of the loaded stack from which the next sheet is taken.
type FeedFrom int

const (
	FromTop FeedFrom = iota + 1
	FromBottom
)

// Lands is how the face printed last (automatic: the front) comes to rest.
type Lands int

const (
	FaceUp Lands = iota + 1
	FaceDown
)

// Stacks is where the next sheet comes to rest in the delivery.
type Stacks int

const (
	OnTop Stacks = iota + 1
	Beneath
)

// Sends is the order in which the computer sends a file's pages (of an
// automatic file: its sheets).
type Sends int

const (
	FirstPageFirst Sends = iota + 1
	LastPageFirst
)

// Reload is what the person does with the whole delivered stack between the
// passes. AsDelivered lifts it over without turning; Rotate turns it half
// round on the table; the two turns turn it over about an edge, which also
// reverses its order.
type Reload int

const (
	AsDelivered Reload = iota + 1
	RotateHalf
	TurnLong
	TurnShort
)

// FlipEdge is the edge about which a sheet has been turned between its two
// printings, trip and reload taken together.
type FlipEdge int

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
var (
	twoSidedWords = enum.Words{What: "two-sided", List: []string{"by-hand", "automatic"}}
	feedFaceWords = enum.Words{What: "feed-face", List: []string{"up", "down"}}
	feedFromWords = enum.Words{What: "feed-from", List: []string{"top", "bottom"}}
	landsWords    = enum.Words{What: "lands", List: []string{"face-up", "face-down"}}
	stacksWords   = enum.Words{What: "stacks", List: []string{"on-top", "beneath"}}
	sendsWords    = enum.Words{What: "sends", List: []string{"first-page-first", "last-page-first"}}
	reloadWords   = enum.Words{What: "reload", List: []string{"as-delivered", "rotate", "turn-long", "turn-short"}}
	flipEdgeWords = enum.Words{What: "flip-edge", List: []string{"long", "short"}}
)

func (v TwoSided) String() string { return twoSidedWords.Of(int(v)) }
func (v FeedFace) String() string { return feedFaceWords.Of(int(v)) }
func (v FeedFrom) String() string { return feedFromWords.Of(int(v)) }
func (v Lands) String() string    { return landsWords.Of(int(v)) }
func (v Stacks) String() string   { return stacksWords.Of(int(v)) }
func (v Sends) String() string    { return sendsWords.Of(int(v)) }
func (v Reload) String() string   { return reloadWords.Of(int(v)) }
func (v FlipEdge) String() string { return flipEdgeWords.Of(int(v)) }

func (v TwoSided) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v FeedFace) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v FeedFrom) MarshalText() ([]byte, error) { return []byte(v.String()), nil }
func (v Lands) MarshalText() ([]byte, error)    { return []byte(v.String()), nil }
func (v Stacks) MarshalText() ([]byte, error)   { return []byte(v.String()), nil }
func (v Sends) MarshalText() ([]byte, error)    { return []byte(v.String()), nil }
func (v Reload) MarshalText() ([]byte, error)   { return []byte(v.String()), nil }
func (v FlipEdge) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

func (v *TwoSided) UnmarshalText(text []byte) error { return enum.Parse(v, twoSidedWords, text) }
func (v *FeedFace) UnmarshalText(text []byte) error { return enum.Parse(v, feedFaceWords, text) }
func (v *FeedFrom) UnmarshalText(text []byte) error { return enum.Parse(v, feedFromWords, text) }
func (v *Lands) UnmarshalText(text []byte) error    { return enum.Parse(v, landsWords, text) }
func (v *Stacks) UnmarshalText(text []byte) error   { return enum.Parse(v, stacksWords, text) }
func (v *Sends) UnmarshalText(text []byte) error    { return enum.Parse(v, sendsWords, text) }
func (v *Reload) UnmarshalText(text []byte) error   { return enum.Parse(v, reloadWords, text) }
func (v *FlipEdge) UnmarshalText(text []byte) error { return enum.Parse(v, flipEdgeWords, text) }
