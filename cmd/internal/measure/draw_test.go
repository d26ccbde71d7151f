package measure_test

import (
	"encoding/xml"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/measure"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// picture is what a person with a ruler finds in an SVG drawing: lines, closed outlines and words. It knows nothing
// of how the drawing was made.
type picture struct {
	lines, outlines []line
	words           []word
}

type line struct {
	class  string
	points [][2]float64
}

type word struct {
	x, y float64
	text string
}

func look(t *testing.T, svg []byte) (p picture) {
	t.Helper()
	type element struct {
		XMLName xml.Name
		Class   string    `xml:"class,attr"`
		D       string    `xml:"d,attr"`
		X       float64   `xml:"x,attr"`
		Y       float64   `xml:"y,attr"`
		Text    string    `xml:",chardata"`
		Inner   []element `xml:",any"`
	}
	var root element
	if err := xml.Unmarshal(svg, &root); err != nil {
		t.Fatal(err)
	}
	for _, e := range root.Inner {
		switch e.XMLName.Local {
		case "text":
			p.words = append(p.words, word{e.X, e.Y, e.Text})
		case "path":
			l := line{e.Class, follow(t, e.D)}
			if strings.HasSuffix(e.D, "z") {
				p.outlines = append(p.outlines, l)
			} else {
				p.lines = append(p.lines, l)
			}
		}
	}
	return p
}

// follow goes along a path of straight lines (SVG 2, section 9.3).
func follow(t *testing.T, d string) (points [][2]float64) {
	t.Helper()
	d = strings.TrimSuffix(d, "z")
	var at [2]float64
	for len(d) > 0 {
		command := d[0]
		end := strings.IndexAny(d[1:], "MLHV")
		if end < 0 {
			end = len(d) - 1
		}
		var numbers []float64
		for _, f := range strings.Fields(d[1 : end+1]) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(d, err)
			}
			numbers = append(numbers, v)
		}
		switch command {
		case 'H':
			at[0] = numbers[0]
		case 'V':
			at[1] = numbers[0]
		default:
			at = [2]float64{numbers[0], numbers[1]}
		}
		points = append(points, at)
		d = d[end+1:]
	}
	return points
}

// box is the left, upper, right and lower end of a line.
func (l line) box() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range l.points {
		x0, y0, x1, y1 = min(x0, p[0]), min(y0, p[1]), max(x1, p[0]), max(y1, p[1])
	}
	return x0, y0, x1, y1
}

// mm is how long a unit is: the rule is the line before the last words, which tell its length.
func (p picture) mm(t *testing.T) float64 {
	t.Helper()
	last := p.words[len(p.words)-1]
	number, unit, _ := strings.Cut(last.text, " ")
	long, err := strconv.ParseFloat(number, 64)
	if err != nil {
		t.Fatalf("%q is no rule", last.text)
	}
	if unit == "in" {
		long *= 25.4
	}
	for _, l := range p.lines {
		if x0, y0, x1, y1 := l.box(); y0 == y1 && math.Abs(y0-last.y) < 6 && x1 < last.x {
			return long / (x1 - x0)
		}
	}
	t.Fatal("there is no rule")
	return 0
}

// told is what stands beside a letter of the legend.
func (p picture) told(letter string) string {
	for i, w := range p.words {
		if w.text == letter && w.x < 4 {
			_, value, _ := strings.Cut(p.words[i+1].text, ":")
			if value == "" {
				value = p.words[i+2].text
			}
			return strings.TrimSpace(value)
		}
	}
	return ""
}

// spans is the lengths of the pieces of dimension lines that a letter names, in units: the piece whose middle is
// at the letter, the nearest one.
func (p picture) spans(letter string, down bool) (found []float64) {
	for _, w := range p.words {
		if w.text != letter || w.x < 4 {
			continue
		}
		best, long := math.Inf(1), 0.0
		for _, l := range p.lines {
			x0, y0, x1, y1 := l.box()
			away := math.Inf(1)
			switch {
			case l.class != "h":
			case !down && y0 == y1 && math.Abs((x0+x1)/2-w.x) < 0.01:
				away = math.Abs(y0 - w.y)
			case down && x0 == x1 && y1-y0 > 0 && math.Abs((y0+y1)/2-(w.y-4)) < 0.01:
				away = math.Abs(x0 - w.x)
			}
			if away < best {
				best, long = away, x1-x0+y1-y0
			}
		}
		if best < 60 {
			found = append(found, long)
		}
	}
	return found
}

type drawn struct {
	name  string
	sheet binding.Sheet
}

// sheets is every structure with thin and thick books, measured and not, in both units, on pages of many shapes.
func sheets(t *testing.T) (all []drawn) {
	t.Helper()
	for _, name := range structure.Names() {
		rules, err := structure.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range []binding.Units{binding.MM, binding.Inches} {
			for _, size := range []geom.Size{{W: 145.5, H: 204}, {W: 74.3, H: 105}, {W: 297, H: 210}, {W: 139.7, H: 215.9}} {
				for i, m := range []binding.Measured{{}, {Block: 9.3, Spine: 14.2, Board: 2.3, Thread: 0.5}, {Block: 41.7, Spine: 55, Board: 3.1}} {
					b := binding.Book{
						Leaf: size, Trim: reorder.Trim{Head: 3, Tail: 4, ForeEdge: 2}, Bind: []reorder.Bind{reorder.BindLeft, reorder.BindTop}[i%2], Leaves: 96, Gatherings: 12, Sheets: 48,
						Caliper: reorder.OfficeCaliper, CaliperOf: "office paper", Paper: "A4",
					}
					if rules.Sewn == binding.OneFold {
						b.Gatherings = 1
					}
					sheet, err := binding.Measure(b, binding.Options{Structure: rules, Units: u, Measured: m})
					if err != nil {
						t.Fatal(name, err)
					}
					all = append(all, drawn{name, sheet})
				}
			}
		}
	}
	return all
}

func figure(sheet binding.Sheet, begins string) binding.Figure {
	for _, f := range slices.Concat(sheet.Before, sheet.After) {
		if strings.HasPrefix(f.Name, begins) {
			return f
		}
	}
	return binding.Figure{}
}

const closeEnough = 0.1 // mm

// TestCoverDrawingAgreesWithFigures measures the drawing with a ruler of its own: every length in it is that of the
// figures to a tenth of a millimetre, and its words are those of the figures.
func TestCoverDrawingAgreesWithFigures(t *testing.T) {
	for _, c := range sheets(t) {
		if c.sheet.Structure.Cover == binding.Paper {
			continue
		}
		p := look(t, drawing.Append(nil, measure.CoverOf(c.sheet), "c"))
		mm := p.mm(t)
		agree := func(what string, units float64, want binding.Range) {
			t.Helper()
			if got := units * mm; math.Abs(got-want.Middle()) > closeEnough {
				t.Errorf("%s, %s: %.3f mm in the drawing, %.3f in the figures", c.name, what, got, want.Middle())
			}
		}
		cloth, boards := p.pieces()
		whole, board := figure(c.sheet, "cover, whole"), figure(c.sheet, "boards")
		x0, y0, x1, y1 := cloth.box()
		agree("cover across", x1-x0, whole.Amount)
		agree("cover along", y1-y0, whole.Height)
		joint := figure(c.sheet, "joint").Amount
		turn := c.sheet.Structure.TurnIn
		left, right := boards[0], boards[len(boards)-1]
		lx0, ly0, lx1, ly1 := left.box()
		rx0, _, rx1, _ := right.box()
		for _, b := range []line{left, right} {
			bx0, by0, bx1, by1 := b.box()
			agree("board across", bx1-bx0, board.Amount)
			agree("board along", by1-by0, board.Height)
		}
		agree("turn-in left", lx0-x0, turn)
		agree("turn-in right", x1-rx1, turn)
		agree("turn-in above", ly0-y0, turn)
		agree("turn-in below", y1-ly1, turn)
		if c.sheet.Structure.Cover == binding.Case {
			strip := figure(c.sheet, "spine strip")
			sx0, sy0, sx1, sy1 := boards[1].box()
			agree("strip across", sx1-sx0, strip.Amount)
			agree("strip along", sy1-sy0, strip.Height)
			agree("joint left", sx0-lx1, joint)
			agree("joint right", rx0-sx1, joint)
		} else {
			back, _ := c.sheet.Across()
			agree("spine and joints", rx0-lx1, back.Plus(joint.Times(2)))
		}
		// The cut at the upper left corner: from (cut, top) to (left, cut).
		var above, beside float64
		for _, q := range cloth.points {
			if q[1] == y0 && (above == 0 || q[0] < above) {
				above = q[0]
			}
			if q[0] == x0 && (beside == 0 || q[1] < beside) {
				beside = q[1]
			}
		}
		away := distance([2]float64{lx0, ly0}, [2]float64{above, y0}, [2]float64{x0, beside})
		agree("corner", away, figure(c.sheet, "cover, corners cut off").Amount)
		for letter, want := range map[string]binding.Range{"H": whole.Amount, "E": board.Amount, "J": joint, "K": turn} {
			spans := p.spans(letter, false)
			if want.Most > 0 && len(spans) == 0 {
				t.Errorf("%s: no length is named %s", c.name, letter)
			}
			for _, s := range spans {
				agree("dimension "+letter, s, want)
			}
		}
		for letter, want := range map[string]binding.Range{"I": whole.Height, "F": board.Height} {
			spans := p.spans(letter, true)
			if len(spans) != 1 {
				t.Errorf("%s: %d lengths are named %s", c.name, len(spans), letter)
			}
			for _, s := range spans {
				agree("dimension "+letter, s, want)
			}
		}
		unit := " " + c.sheet.Units.String()
		if got := strings.TrimSuffix(p.told("H"), unit) + " x " + p.told("I"); got != whole.Value {
			t.Errorf("%s: the drawing says %q of the cover, the figures %q", c.name, got, whole.Value)
		}
		if got := "2 of " + strings.TrimSuffix(p.told("E"), unit) + " x " + p.told("F"); got != board.Value {
			t.Errorf("%s: the drawing says %q of the boards, the figures %q", c.name, got, board.Value)
		}
		if got := p.told("J"); got != figure(c.sheet, "joint").Value {
			t.Errorf("%s: the drawing says %q of the joint", c.name, got)
		}
	}
}

// pieces is the cover, which is the largest outline, and what is stiff in it from left to right.
func (p picture) pieces() (cloth line, boards []line) {
	most := 0.0
	for _, o := range p.outlines {
		x0, y0, x1, y1 := o.box()
		if area := (x1 - x0) * (y1 - y0); area > most {
			cloth, most = o, area
		}
		if strings.Contains(o.class, "f") {
			boards = append(boards, o)
		}
	}
	slices.SortFunc(boards, func(a, b line) int {
		ax, _, _, _ := a.box()
		bx, _, _, _ := b.box()
		return int(math.Copysign(1, ax-bx))
	})
	return cloth, boards
}

// distance is how far a point is from the line through two others.
func distance(p, a, b [2]float64) float64 {
	return math.Abs((b[0]-a[0])*(a[1]-p[1])-(a[0]-p[0])*(b[1]-a[1])) / math.Hypot(b[0]-a[0], b[1]-a[1])
}

// TestPaperCoverAgreesWithFigures does the same for covers without boards: their folds stand where the figures say.
func TestPaperCoverAgreesWithFigures(t *testing.T) {
	tried := 0
	for _, c := range sheets(t) {
		if c.sheet.Structure.Cover != binding.Paper {
			continue
		}
		tried++
		p := look(t, drawing.Append(nil, measure.CoverOf(c.sheet), "c"))
		mm := p.mm(t)
		cloth, _ := p.pieces()
		x0, y0, x1, y1 := cloth.box()
		flat := figure(c.sheet, "paper cover, flat")
		flap := c.sheet.Structure.TurnIn.Middle()
		if c.sheet.Structure.Sewn == binding.Side {
			flat, flap = figure(c.sheet, "covers"), 0
		}
		if wide, high := (x1-x0)*mm-2*flap, (y1-y0)*mm; math.Abs(wide-flat.Amount.Middle()) > closeEnough || math.Abs(high-flat.Height.Middle()) > closeEnough {
			t.Errorf("%s: %.2f x %.2f mm in the drawing, %v x %v in the figures", c.name, wide, high, flat.Amount, flat.Height)
		}
		var folds []float64
		for _, l := range p.lines {
			if l.class == "d" {
				folds = append(folds, (l.points[0][0]-x0)*mm)
			}
		}
		slices.Sort(folds)
		var want []float64
		if half := (flat.Amount.Middle() - c.sheet.Thick.Middle()) / 2; c.sheet.Structure.Sewn != binding.Side {
			want = []float64{flap, flap + half, flap + half + c.sheet.Thick.Middle(), flap + 2*half + c.sheet.Thick.Middle()}
			if flap == 0 {
				want = want[1:3]
			}
		}
		if !slices.EqualFunc(folds, want, func(a, b float64) bool { return math.Abs(a-b) <= closeEnough }) {
			t.Errorf("%s: folds at %.2f mm, want %.2f", c.name, folds, want)
		}
	}
	if tried == 0 {
		t.Error("no structure has a paper cover")
	}
}

// TestBlockAndStationsAgreeWithFigures measures the block from the tail and the fold with its holes.
func TestBlockAndStationsAgreeWithFigures(t *testing.T) {
	for _, c := range sheets(t) {
		p := look(t, drawing.Append(nil, measure.BlockOf(c.sheet), "b"))
		mm := p.mm(t)
		for letter, want := range map[string]binding.Range{"T": c.sheet.Thick, "U": figure(c.sheet, "text block, thickness").Amount} {
			spans := p.spans(letter, true)
			if len(spans) != 1 || math.Abs(spans[0]*mm-want.Middle()) > closeEnough {
				t.Errorf("%s: %s is %v units of %.4f mm, want %v", c.name, letter, spans, mm, want)
			}
		}
		if spans := p.spans("B", false); len(spans) != 1 || math.Abs(spans[0]*mm-c.sheet.Book.Leaf.W) > closeEnough {
			t.Errorf("%s: the leaf is %v units of %.4f mm, want %v", c.name, spans, mm, c.sheet.Book.Leaf.W)
		}
		if f := figure(c.sheet, "spine, over its curve"); f.Value != "" && f.Value != p.told("C") && f.Value != figure(c.sheet, "spine, thickness").Value {
			t.Errorf("%s: the drawing says %q of the curve, the figures %q", c.name, p.told("C"), f.Value)
		}

		p = look(t, drawing.Append(nil, measure.StationsOf(c.sheet), "s"))
		mm = p.mm(t)
		cloth, _ := p.pieces()
		from, _, to, _ := cloth.box()
		if got := (to - from) * mm; math.Abs(got-c.sheet.Book.UntrimmedLeaf().H) > closeEnough {
			t.Errorf("%s: the fold is %.2f mm long", c.name, got)
		}
		var holes []float64
		for _, l := range p.lines {
			if l.class == "f" {
				holes = append(holes, (l.points[0][0]-from)*mm-c.sheet.Book.Trim.Head)
			}
		}
		if want := c.sheet.Stations.Places(); !slices.EqualFunc(holes, want, func(a, b float64) bool { return math.Abs(a-b) <= closeEnough }) {
			t.Errorf("%s: holes at %.2f mm, want %.2f", c.name, holes, want)
		}
		for _, r := range measure.StationRows(c.sheet) {
			for _, text := range []string{r.Trimmed, r.Pierce} {
				if !slices.ContainsFunc(p.words, func(w word) bool { return w.text == text }) {
					t.Errorf("%s: %q stands nowhere in the drawing", c.name, text)
				}
			}
		}
	}
}
