package job

import (
	"fmt"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
)

// Trim is what is cut off the folded leaves: one length for head, tail and
// fore-edge, or three.
type Trim struct {
	Given                bool
	Head, Tail, ForeEdge Length
}

func (t Trim) String() string {
	switch {
	case !t.Given:
		return ""
	case t.Head == t.Tail && t.Head == t.ForeEdge:
		return t.Head.String()
	}
	return fmt.Sprintf("%s,%s,%s", t.Head, t.Tail, t.ForeEdge)
}

func (t Trim) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads one length or three.
func (t *Trim) UnmarshalText(text []byte) error {
	words := strings.Split(string(text), ",")
	if len(words) == 1 {
		words = []string{words[0], words[0], words[0]}
	}
	if len(words) != 3 {
		return &ValueError{string(text), "has to be one length, or three for head,tail,fore-edge"}
	}
	out := Trim{Given: true}
	for i, l := range []*Length{&out.Head, &out.Tail, &out.ForeEdge} {
		if err := l.UnmarshalText([]byte(words[i])); err != nil {
			return err
		}
		if !(*l >= 0 && *l <= 100) {
			return &ValueError{string(text), "lies outside 0 to 100 mm"}
		}
	}
	*t = out
	return nil
}

// Dimensions is a width and a height: 152x229mm, 6x9in.
type Dimensions struct{ W, H Length }

func (d Dimensions) String() string {
	if d == (Dimensions{}) {
		return ""
	}
	return fmt.Sprintf("%sx%s", reorder.Millimetres(float64(d.W)), d.H)
}

func (d Dimensions) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads two lengths with an x between them; a unit after the
// second holds for both.
func (d *Dimensions) UnmarshalText(text []byte) error {
	first, second, two := strings.Cut(string(text), "x")
	var out Dimensions
	if !two || out.H.UnmarshalText([]byte(second)) != nil || out.W.UnmarshalText([]byte(sameUnit(first, second))) != nil ||
		!(out.W > 0 && out.H > 0) {
		return &ValueError{string(text), "is no size, write width and height such as 152x229mm or 6x9in"}
	}
	*d = out
	return nil
}

// sameUnit gives a bare number the unit of another length.
func sameUnit(number, other string) string {
	const digits = "0123456789./ "
	if strings.Trim(number, digits) != "" {
		return number
	}
	return number + strings.TrimLeft(other, digits)
}

// checkTrim refuses what contradicts itself.
func (o Options) checkTrim() error {
	if o.Trim.Given && o.TrimTo != (Dimensions{}) {
		return &UseError{"--trim and --trim-to exclude each other", "--trim says what comes off, --trim-to what is left"}
	}
	return nil
}

// trims tells whether leaves are cut after folding.
func (o Options) trims() bool { return o.Trim.Given || o.TrimTo != (Dimensions{}) }

// trim is what is cut off leaves of the given size.
func (o Options) trim(leaf reorder.Size) (reorder.Trim, error) {
	t := reorder.Trim{Head: float64(o.Trim.Head), Tail: float64(o.Trim.Tail), ForeEdge: float64(o.Trim.ForeEdge)}
	if o.TrimTo != (Dimensions{}) {
		var err error
		t, err = reorder.TrimTo(leaf, reorder.Size{W: float64(o.TrimTo.W), H: float64(o.TrimTo.H)}, o.Bind)
		if err != nil {
			return t, err
		}
	}
	if s := o.Fold.Scheme(); t.ForeEdge > 0 && s.OneSided {
		return t, &reorder.FormError{
			What:   fmt.Sprintf("the fore-edge of a %s is a fold, which must not be cut off", o.Fold),
			Advice: fmt.Sprintf("--trim %s,%s,0 cuts head and tail only", reorder.Millimetres(t.Head), reorder.Millimetres(t.Tail)),
		}
	}
	return t, nil
}

// seen is what shows of a page whose box is placed: where leaves are trimmed,
// the finished page shows with its bleed.
func (o Options) seen(p pdf.Page, box reorder.Rect) reorder.Rect {
	if o.trims() && o.Box == BoxTrim {
		return p.Bleed
	}
	return box
}

// LeafText is the size of a leaf before trimming and, if it is trimmed, after.
func (d *Draft) LeafText() string {
	leaf := d.Book.PanelSize()
	if d.Trim == (reorder.Trim{}) {
		return leaf.String() + " before trimming"
	}
	return fmt.Sprintf("%s, trimmed to %s", leaf, d.Trim.Of(leaf, d.Book.Form.Bind))
}
