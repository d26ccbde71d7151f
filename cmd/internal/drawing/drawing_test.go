package drawing

import (
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"foldwright/cmd/internal/binding"
	"foldwright/printer"
	"foldwright/reorder/geom"
)

// moves is every way of taking a stack from one place to another.
func moves() []Drawing {
	var all []Drawing
	for to := Tray; to <= Table; to++ {
		for turn := printer.AsDelivered; turn <= printer.TurnShort; turn++ {
			for _, sheets := range []int{1, 30} {
				for _, up := range []Content{Blank, Front} {
					from := Stack{Where: Delivery, Sheets: sheets, Up: up, Under: Blank + Front - up}
					all = append(all, Move{from, turn, to})
				}
			}
		}
	}
	return all
}

// all is every kind of drawing. If DRAWINGS names a file, the test writes them
// there as a page, to be looked at.
func all() []Drawing {
	more := []geom.Size{{W: 330, H: 330}, {W: 105, H: 297}}
	return slices.Concat(values(), prints(more...), makings(sizes[2:]...), benches())
}

// values is drawings that all tell something else.
func values() []Drawing {
	return slices.Concat(moves(), prints(geom.Size{W: 210, H: 297}), makings(sizes[:2]...), firstSteps(), learnings(), sewings(), benches()[:6])
}

// firstSteps is what is drawn for somebody who has never printed such sheets.
func firstSteps() []Drawing {
	unknown := Stack{Where: Delivery, Sheets: 3, Up: Either, Under: Either}
	return []Drawing{
		Rule{"A", 10, "100 mm"}, Rule{"K", 5, "50 mm"}, Lies{unknown}, Lies{Stack{Where: Tray, Sheets: 30, Up: Blank, Under: Blank}}, Lies{Stack{Where: Table, Sheets: 1, Up: Front, Under: Back}}, Move{unknown, printer.AsDelivered, Tray},
		Cards{What: "Read", Labels: []string{"as it lies"}, Words: [][]string{{"front", "I or III?"}}},
		Cards{What: "Read", Labels: []string{"as it lies", "its other side"}, Words: [][]string{{"back", "I or III?"}, {"front", "I or III?"}}},
		Cards{What: "Read", Labels: []string{"the front, at K", "the back"}, Words: [][]string{{"K"}, {"here 2", "reads K2"}}, Pin: true},
	}
}

// learnings is what is drawn for the questions from which a printer is learned.
func learnings() []Drawing {
	all := []Drawing{
		PencilCross{true}, PencilCross{false}, Topmost{[]string{"I", "II", "III"}}, Topmost{[]string{"III", "II", "I"}},
		Landing{printer.OnTop}, Landing{printer.Beneath}, Sheets{}, Sheets{[]string{"I", "II", "III"}}, Pencilled{1}, Pencilled{3}, PutIn{3},
		Spans{Front, "170 mm", "250 mm"}, Spans{Back, "170 mm", "250 mm"}, Spans{Front, "170 mm", "230 mm"}, Margin{"20 mm", "23.5 mm"},
		Light{4, 3.75, 0.5}, Light{4, 3.75, -0.75}, Four{Front}, Four{Back}, Ladder{16, 4}, Ladder{16, 12}, ActualSize{true}, ActualSize{false},
		Way{printer.ByHand}, Way{printer.Automatic}, TrayKind{"drawer"}, TrayKind{"upright"}, TrayKind{"slot"}, Printing{"laser"}, Printing{"inkjet"},
	}
	for i := range 4 {
		all = append(all, Pin{i&1 > 0, i&2 > 0})
	}
	return all
}

// sewings is holes and the ways of a thread through them.
func sewings() []Drawing {
	all := []Drawing{Kettle{}, Wrap{}}
	for _, c := range []struct {
		at    []float64
		tapes [][2]int
		way   []binding.Stitch
	}{
		{[]float64{25, 105, 185}, nil, []binding.Stitch{{Gathering: 1, Hole: 2, In: true}, {Gathering: 1, Hole: 1, In: false}, {Gathering: 1, Hole: 3, In: true}, {Gathering: 1, Hole: 2, In: false}}},
		{[]float64{12, 60, 70, 198}, [][2]int{{2, 3}}, []binding.Stitch{{Gathering: 1, Hole: 1, In: true}, {Gathering: 1, Hole: 2, In: false}, {Gathering: 1, Hole: 3, In: true}, {Gathering: 1, Hole: 4, In: false}, {Gathering: 2, Hole: 4, In: true}, {Gathering: 2, Hole: 3, In: false}, {Gathering: 2, Hole: 2, In: true}, {Gathering: 2, Hole: 1, In: false}}},
		{[]float64{12, 70, 140, 198}, nil, []binding.Stitch{
			{Gathering: 1, Hole: 1, In: true}, {Gathering: 1, Hole: 2}, {Gathering: 1, Hole: 3, In: true}, {Gathering: 1, Hole: 4},
			{Gathering: 2, Hole: 4, In: true}, {Gathering: 2, Hole: 3}, {Gathering: 2, Hole: 3, In: true, Link: true}, {Gathering: 2, Hole: 2},
		}},
		{[]float64{12, 60, 72, 198}, [][2]int{{2, 3}}, []binding.Stitch{
			{Gathering: 1, Hole: 1, In: true}, {Gathering: 1, Hole: 2}, {Gathering: 1, Hole: 3, In: true}, {Gathering: 1, Hole: 4},
			{Gathering: 2, Hole: 4, In: true}, {Gathering: 2, Hole: 3}, {Gathering: 2, Hole: 2, In: true, Link: true}, {Gathering: 2, Hole: 1},
		}},
		{[]float64{6, 100, 203.2}, nil, []binding.Stitch{{Gathering: 1, Hole: 1, In: true}, {Gathering: 1, Hole: 2, In: false}, {Gathering: 1, Hole: 2, In: true}, {Gathering: 1, Hole: 3, In: false}}},
	} {
		names := make([]string, len(c.at))
		for i, mm := range c.at {
			names[i] = fmt.Sprintf("%g mm", mm)
		}
		all = append(all, Holes{210, c.at, names})
		for _, before := range []int{0, len(c.way) / 2} {
			all = append(all, Sewing{What: "The first gathering", Length: 210, At: c.at, Tapes: c.tapes, Way: c.way, Before: before})
		}
	}
	return all
}

// sides is faces of sheets divided into panels, held in every way.
func sides(sizes ...geom.Size) []Print {
	var all []Print
	for _, size := range sizes {
		for _, cells := range [][2]int{{1, 1}, {2, 1}, {2, 2}, {4, 2}, {4, 4}, {4, 3}} {
			for _, named := range []bool{false, true} {
				p := Print{Size: size}
				w, h := size.W/float64(cells[0]), size.H/float64(cells[1])
				for x := range cells[0] {
					for y := range cells[1] {
						panel := Panel{Rect: geom.Rect{X0: w * float64(x), Y0: h * float64(y), X1: w * float64(x+1), Y1: h * float64(y+1)}, Head: geom.Left}
						if (x+2*y)%5 != 3 {
							panel.Page = fmt.Sprint(1000 + 13*x + y)
						}
						p.Panels = append(p.Panels, panel)
					}
				}
				if named {
					p.Names = []Line{{geom.Point{X: w / 4, Y: h}, geom.Point{X: w / 2, Y: h}}}
				}
				for q := range 4 {
					all = append(all, p.Turn(q))
				}
			}
		}
	}
	return all
}

func prints(sizes ...geom.Size) []Drawing {
	var all []Drawing
	for _, p := range sides(sizes...) {
		label := "first sheet, front up"
		if len(p.Names) > 0 {
			label = "first piece, back up"
		}
		all = append(all, Laid{"The first sheet as it lies before you", label, p})
	}
	return all
}

// Different values make different drawings, with different words.
func TestEachValueIsSeen(t *testing.T) {
	drawn, words := map[string]Drawing{}, map[string]Drawing{}
	for _, d := range values() {
		svg := string(Append(nil, d, "d"))
		picture := svg[strings.Index(svg, "</desc>"):]
		if other, ok := drawn[picture]; ok {
			t.Errorf("%+v and %+v look the same", d, other)
		}
		title, desc := d.Describe()
		said := title + "\n" + desc
		if other, ok := words[said]; ok {
			t.Errorf("%+v and %+v: %s", d, other, said)
		}
		drawn[picture], words[said] = d, d
	}
}

var (
	viewBox = regexp.MustCompile(`viewBox="0 0 ([\d.]+) ([\d.]+)"`)
	inPath  = regexp.MustCompile(`([MLHV])(-?[\d.]+)(?: (-?[\d.]+))?`)
	path    = regexp.MustCompile(`<path[^>]* d="([^"]*)"`)
	inText  = regexp.MustCompile(`<text x="(-?[\d.]+)" y="(-?[\d.]+)"( class="([^"]*)")?( transform="rotate\((-?\d+) [^"]*")?>([^<]*)<`)
)

// Drawings are well formed, have their words, and nothing stands out beyond
// their edges, in letters of the broadest fonts.
func TestDrawingsKeepWithinTheirEdges(t *testing.T) {
	for i, d := range all() {
		if testing.Short() && i%11 > 0 {
			continue
		}
		svg := string(Append(nil, d, "d7"))
		title, desc := d.Describe()
		checkForm(t, svg)
		for _, part := range []string{
			`role="img" aria-labelledby="d7-title d7-desc"`,
			`<title id="d7-title">` + html.EscapeString(title) + `</title>`,
			`<desc id="d7-desc">` + html.EscapeString(desc) + `</desc>`,
		} {
			if !strings.Contains(svg, part) {
				t.Errorf("%+v: no %s", d, part)
			}
		}
		box := viewBox.FindStringSubmatch(svg)
		w, h := number(box[1]), number(box[2])
		for _, m := range path.FindAllStringSubmatch(svg, -1) {
			for _, p := range points(m[1]) {
				if p.x < 0 || p.x > w || p.y < 0 || p.y > h {
					t.Errorf("%+v: a line goes to %v of %v x %v", d, p, w, h)
				}
			}
		}
		for _, m := range inText.FindAllStringSubmatch(svg, -1) {
			x, y := number(m[1]), number(m[2])
			class, degrees, size := m[4], number(m[6]), letterHigh
			if class == "n" {
				size = 17
			}
			long := letterWide * size / letterHigh * float64(utf8.RuneCountInString(html.UnescapeString(m[7])))
			from, to := 0.0, long
			if class != "" && class != "b" { // in the middle
				from, to = -long/2, long/2
			}
			if class == "e" {
				from, to = -long, 0
			}
			sin, cos := math.Sincos(degrees * math.Pi / 180)
			for _, corner := range [][2]float64{{from, -size * 0.8}, {to, -size * 0.8}, {from, size * 0.25}, {to, size * 0.25}} {
				if cx, cy := x+corner[0]*cos-corner[1]*sin, y+corner[0]*sin+corner[1]*cos; cx < 0 || cx > w || cy < 0 || cy > h {
					t.Errorf("%+v: a corner of %q stands at %v, %v of %v x %v", d, m[7], cx, cy, w, h)
					break
				}
			}
		}
	}
	if file := os.Getenv("DRAWINGS"); file != "" {
		gallery(t, file)
	}
}

// points are those of a path.
func points(path string) []point {
	var all []point
	at := point{}
	for _, m := range inPath.FindAllStringSubmatch(path, -1) {
		switch m[1] {
		case "H":
			at.x = number(m[2])
		case "V":
			at.y = number(m[2])
		default:
			at = point{number(m[2]), number(m[3])}
		}
		all = append(all, at)
	}
	return all
}

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func checkForm(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("%v: %s", err, svg)
		}
	}
}

func gallery(t *testing.T, file string) {
	t.Helper()
	page := []byte(`<!DOCTYPE html><meta charset="utf-8"><style>body{margin:6px;font-family:system-ui,sans-serif}body{display:grid;grid-template-columns:repeat(4,318px);gap:14px}div{border:1px solid #ccc;font-size:10px}` + Style + `</style>`)
	for i, d := range all() {
		page = append(page, "<div>"...)
		page = Append(page, d, fmt.Sprintf("d%d", i))
		title, desc := d.Describe()
		page = append(page, html.EscapeString(title+". "+desc)+"</div>"...)
	}
	if err := os.WriteFile(file, page, 0o666); err != nil {
		t.Fatal(err)
	}
}

// A corner goes where it goes with a sheet of paper in the hand: worked out here
// by turning a box in space, x to the right, y away, z up.
func TestCornersGoAlong(t *testing.T) {
	turned := map[printer.Reload][3]int{ // by which sign x, y and z change
		printer.AsDelivered: {1, 1, 1}, printer.RotateHalf: {-1, -1, 1},
		printer.TurnLong:  {-1, 1, -1}, // about y, along which the long edges run
		printer.TurnShort: {1, -1, -1},
	}
	sign := func(plus bool) int {
		if plus {
			return 1
		}
		return -1
	}
	for turn, by := range turned {
		for i := range 8 {
			k := Corner{Far: i&1 > 0, Right: i&2 > 0, Side: Upper + Side(i>>2)}
			x, y, z := sign(k.Right)*by[0], sign(k.Far)*by[1], sign(k.Side == Upper)*by[2]
			got := k.Turn(turn)
			if sign(got.Right) != x || sign(got.Far) != y || sign(got.Side == Upper) != z {
				t.Errorf("%s %s: %+v", k, turn, got)
			}
		}
	}
}
