package drawing

import (
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

const (
	shortName = "sheet 1, front · gathering 1, 1 of 4 · run 1, 1 of 30"
	longName  = "sheet 130, front · gathering 38, piece 12 of 12 · run 11, 130 of 130"
)

// stacks is a stack for every combination of what a stack can be.
func stacks() []Drawing {
	var all []Drawing
	for where := Tray; where <= Table; where++ {
		for _, faces := range [][2]Face{{Blank, Blank}, {Front, Blank}, {Blank, Front}, {Front, Back}, {Back, Front}} {
			for _, sheets := range []int{1, 2, 5, 30, 130} {
				for next := Side(0); next <= Lower; next++ {
					s := Stack{Where: where, Sheets: sheets, Up: faces[0], Under: faces[1], Next: next}
					all = append(all, s)
					if faces[0] == faces[1] {
						continue // nothing is printed, so there are no names
					}
					s.Top, s.Bottom = shortName, longName
					if sheets == 1 {
						s.Bottom = s.Top
					}
					all = append(all, s)
					if sheets > 1 {
						s.Top, s.Bottom = s.Bottom, s.Top
						all = append(all, s)
					}
					s.Slip = "run 12"
					all = append(all, s)
				}
			}
		}
	}
	return all
}

// moves is every way of taking a stack from one place to another.
func moves() []Drawing {
	var all []Drawing
	for to := Tray; to <= Table; to++ {
		for turn := NoTurn; turn <= OverShort; turn++ {
			for _, sheets := range []int{1, 30} {
				for _, up := range []Face{Blank, Front} {
					from := Stack{Where: Delivery, Sheets: sheets, Up: up, Under: Blank + Front - up}
					there := from
					there.Where = to
					if turn > HalfFlat {
						there.Up, there.Under = from.Under, from.Up
					}
					all = append(all, Move{From: from, Turn: turn, To: there, Mark: Corner{Face: Upper}})
				}
			}
		}
	}
	return all
}

// all is every kind of drawing. If DRAWINGS names a file, the test writes them
// there as a page, to be looked at.
func all() []Drawing { return append(stacks(), moves()...) }

// Different values make different drawings, with different words.
func TestEachValueIsSeen(t *testing.T) {
	drawn, words := map[string]Drawing{}, map[string]Drawing{}
	for _, d := range all() {
		svg := string(Append(nil, d, "d"))
		picture := svg[strings.Index(svg, "</desc>"):]
		if other, ok := drawn[picture]; ok {
			t.Errorf("%+v and %+v look the same", d, other)
		}
		said := d.Title() + "\n" + d.Desc()
		if other, ok := words[said]; ok {
			t.Errorf("%+v and %+v: %s", d, other, said)
		}
		drawn[picture], words[said] = d, d
	}
}

var (
	viewBox = regexp.MustCompile(`viewBox="0 0 ([\d.]+) ([\d.]+)"`)
	inPath  = regexp.MustCompile(`[ML](-?[\d.]+) (-?[\d.]+)`)
	inText  = regexp.MustCompile(`<text x="(-?[\d.]+)" y="(-?[\d.]+)"( class="[^"]*")?[^>]*>([^<]*)<`)
)

// Drawings are well formed, have their words, and nothing stands out beyond
// their edges, in letters of the broadest fonts.
func TestDrawingsKeepWithinTheirEdges(t *testing.T) {
	for _, d := range all() {
		svg := string(Append(nil, d, "d7"))
		wellFormed(t, svg)
		for _, part := range []string{
			`role="img" aria-labelledby="d7-title d7-desc"`,
			`<title id="d7-title">` + html.EscapeString(d.Title()) + `</title>`,
			`<desc id="d7-desc">` + html.EscapeString(d.Desc()) + `</desc>`,
		} {
			if !strings.Contains(svg, part) {
				t.Errorf("%+v: no %s", d, part)
			}
		}
		box := viewBox.FindStringSubmatch(svg)
		w, h := number(box[1]), number(box[2])
		for _, m := range inPath.FindAllStringSubmatch(svg, -1) {
			if x, y := number(m[1]), number(m[2]); x < 0 || x > w || y < 0 || y > h {
				t.Errorf("%+v: a line goes to %v, %v of %v x %v", d, x, y, w, h)
				break
			}
		}
		for _, m := range inText.FindAllStringSubmatch(svg, -1) {
			x, y := number(m[1]), number(m[2])
			left, right := x, x+letterWide*float64(len([]rune(html.UnescapeString(m[4]))))
			if strings.Contains(m[3], "c") && !strings.Contains(m[3], `"b"`) { // class="b c", "c": in the middle
				left, right = x-(right-x)/2, x+(right-x)/2
			}
			if strings.Contains(m[3], `class=""`) || left < 0 || right > w || y-10 < 0 || y+3 > h {
				t.Errorf("%+v: %q stands from %v to %v, %v of %v x %v", d, m[4], left, right, y, w, h)
			}
		}
	}
	if file := os.Getenv("DRAWINGS"); file != "" {
		gallery(t, file)
	}
}

func number(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v
}

func wellFormed(t *testing.T, svg string) {
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
		page = append(page, html.EscapeString(d.Title()+". "+d.Desc())+"</div>"...)
	}
	if err := os.WriteFile(file, page, 0o666); err != nil {
		t.Fatal(err)
	}
}

// A corner goes where it goes with a sheet of paper in the hand: worked out here
// by turning a box in space, x to the right, y away, z up.
func TestCornersGoAlong(t *testing.T) {
	turned := map[Turn][3]int{ // by which sign x, y and z change
		NoTurn: {1, 1, 1}, HalfFlat: {-1, -1, 1},
		OverLong:  {-1, 1, -1}, // about y, along which the long edges run
		OverShort: {1, -1, -1},
	}
	sign := func(plus bool) int {
		if plus {
			return 1
		}
		return -1
	}
	for turn, by := range turned {
		for i := range 8 {
			k := Corner{Far: i&1 > 0, Right: i&2 > 0, Face: Upper + Side(i>>2)}
			x, y, z := sign(k.Right)*by[0], sign(k.Far)*by[1], sign(k.Face == Upper)*by[2]
			got := k.Turned(turn)
			if sign(got.Right) != x || sign(got.Far) != y || sign(got.Face == Upper) != z {
				t.Errorf("%s %s: %+v", k, turn, got)
			}
		}
	}
}

// Side names are broken where they can be.
func TestWrapped(t *testing.T) {
	for name, want := range map[string]string{
		shortName:  "sheet 1, front|gathering 1, 1 of 4|run 1, 1 of 30",
		longName:   "sheet 130, front|gathering 38,|piece 12 of 12|run 11, 130 of 130",
		"anything": "anything",
	} {
		if got := strings.Join(wrapped(name, 21), "|"); got != want {
			t.Errorf("%q", got)
		}
	}
}
