package job

import (
	"math"
	"strings"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// Marks is which marks are printed on the sheets.
type Marks struct {
	Given     bool
	Fold      bool // ticks on the creases
	Cut       bool // ticks on the cuts before folding
	Collation bool // steps down the back
	Stations  bool // in the innermost folds
	Corners   bool // of trimmed leaves
	Signing   reorder.Signing
}

// usualMarks is all that help; of the two ways of naming a gathering the trade's.
var usualMarks = Marks{true, true, true, true, true, true, reorder.Letters}

// switches is the marks by their words, in the order in which they are written.
func (m *Marks) switches() []struct {
	word string
	on   *bool
} {
	return []struct {
		word string
		on   *bool
	}{{"fold", &m.Fold}, {"cut", &m.Cut}, {"collation", &m.Collation}, {"stations", &m.Stations}, {"corners", &m.Corners}}
}

var signingWords = map[reorder.Signing]string{reorder.Letters: "letter", reorder.Numbers: "number"}

func (m Marks) String() string {
	if !m.Given {
		return ""
	}
	var words []string
	for _, s := range m.switches() {
		if *s.on {
			words = append(words, s.word)
		}
	}
	if w := signingWords[m.Signing]; w != "" {
		words = append(words, w)
	}
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ",")
}

func (m Marks) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads none, or words with commas between them.
func (m *Marks) UnmarshalText(text []byte) error {
	out := Marks{Given: true}
	if string(text) == "none" {
		*m = out
		return nil
	}
	for word := range strings.SplitSeq(string(text), ",") {
		if !out.set(strings.TrimSpace(word)) {
			return &ValueError{string(text), "is no list of marks, write none, or some of fold,cut,collation,stations,corners and letter or number"}
		}
	}
	*m = out
	return nil
}

// set turns a mark on; ok is false for other words, and for a second way of
// naming gatherings.
func (m *Marks) set(word string) (ok bool) {
	for _, s := range m.switches() {
		if s.word == word {
			*s.on = true
			return true
		}
	}
	for signing, w := range signingWords {
		if w == word && (m.Signing == 0 || m.Signing == signing) {
			m.Signing = signing
			return true
		}
	}
	return false
}

// Lengths is lengths with commas between them.
type Lengths []Length

func (l Lengths) String() string {
	words := make([]string, len(l))
	for i, v := range l {
		words[i] = v.String()
	}
	return strings.Join(words, ",")
}

func (l Lengths) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText reads rising lengths.
func (l *Lengths) UnmarshalText(text []byte) error {
	var out Lengths
	for word := range strings.SplitSeq(string(text), ",") {
		var v Length
		if err := v.UnmarshalText([]byte(word)); err != nil {
			return err
		}
		if v <= 0 || len(out) > 0 && v <= out[len(out)-1] {
			return &ValueError{string(text), "has to be lengths from the head that rise, such as 12,60,105mm"}
		}
		out = append(out, v)
	}
	*l = out
	return nil
}

// assumedMargin is the least edge in mm that marks keep clear of: most printers
// cannot reach about 1/6 in of it (common practice, no source).
const assumedMargin = 4.5

// marking is where the marks of the book stand. What is written along the
// folds is known only when the runs are.
func (d *Draft) marking() reorder.Marking {
	o := d.Options
	m := reorder.Marking{
		Folds: o.Marks.Fold, Cuts: o.Marks.Cut, Steps: o.Marks.Collation, Corners: o.Marks.Corners,
		Signing: o.Marks.Signing, Trim: d.Trim, Creep: o.creep(d.Book), Margin: assumedMargin, Taken: d.nameEnd(),
	}
	if k := o.KeepClear; k.Given {
		m.CornerMargin = max(float64(k.Head), float64(k.Tail), float64(k.Left), float64(k.Right))
		m.Margin = max(assumedMargin, m.CornerMargin)
	}
	for _, v := range d.Volumes {
		m.Volumes = append(m.Volumes, v.Volume)
	}
	if o.Marks.Stations && d.Structure.Sewn != binding.Side {
		m.Stations = d.stations()
	}
	return m
}

// drawMarks draws marks; m is the correction that the whole image goes through.
func drawMarks(d *pdf.Drawing, marks []reorder.Mark, m reorder.Matrix) {
	pens := map[reorder.MarkKind]pdf.Pen{
		reorder.FoldTick:    {Width: 0.15, Grey: 0.3},
		reorder.CutTick:     {Width: 0.3, Grey: 0, Dash: []float64{1.2, 0.8}},
		reorder.StationTick: {Width: 0.25, Grey: 0.2},
		reorder.CornerMark:  {Width: 0.1, Grey: 0},
	}
	for _, mark := range marks {
		points := make([]reorder.Point, len(mark.Points))
		for i, p := range mark.Points {
			points[i] = m.Apply(p)
		}
		switch mark.Kind {
		case reorder.StepMark, reorder.HeadMark:
			d.FillPolygon(points, 0.1)
		case reorder.SignMark:
			along := m.Direction(mark.Along)
			d.Text(points[0], pdf.Text{
				Text: mark.Text, Font: pdf.HelveticaBold, Size: reorder.SignSize, Grey: 0.1,
				Angle: math.Atan2(along.Y, along.X) * 180 / math.Pi, Anchor: pdf.AnchorLeft,
			})
		default:
			d.Polyline(points, pens[mark.Kind])
		}
	}
}
