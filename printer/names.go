package printer

import "foldwright/reorder/enum"

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

func (v *TwoSided) UnmarshalText(text []byte) error {
	return enum.Parse(v, twoSidedWords, string(text))
}
func (v *FeedFace) UnmarshalText(text []byte) error {
	return enum.Parse(v, feedFaceWords, string(text))
}
func (v *FeedFrom) UnmarshalText(text []byte) error {
	return enum.Parse(v, feedFromWords, string(text))
}
func (v *Lands) UnmarshalText(text []byte) error  { return enum.Parse(v, landsWords, string(text)) }
func (v *Stacks) UnmarshalText(text []byte) error { return enum.Parse(v, stacksWords, string(text)) }
func (v *Sends) UnmarshalText(text []byte) error  { return enum.Parse(v, sendsWords, string(text)) }
func (v *Reload) UnmarshalText(text []byte) error { return enum.Parse(v, reloadWords, string(text)) }
func (v *FlipEdge) UnmarshalText(text []byte) error {
	return enum.Parse(v, flipEdgeWords, string(text))
}
