package shopping

import (
	"bufio"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// ForBuying stands above estimates.
const ForBuying = "NOT YET MEASURED: for buying only. Cut nothing by these estimates."

// WriteText writes the list as tables that a person can read.
func (l List) WriteText(w io.Writer) error {
	t := visible.NewTable(w)
	for _, s := range l.Sections() {
		visible.Fprintf(t, "%s\n", s.Title)
		for _, r := range s.Rows {
			visible.Fprintf(t, "  %s\t%s\t%s\n", r.What, r.Amount, r.For)
		}
		visible.Fprintf(t, "\n")
	}
	if len(l.Waits) > 0 {
		visible.Fprintf(t, "%s\n", ForBuying)
		for _, wait := range l.Waits {
			visible.Fprintf(t, "  %s\n", wait.Name)
			for _, row := range [][2]string{{"boards", wait.Boards}, {"cover", wait.Cover}, {"measure it with", wait.Missing}} {
				if row[1] != "" {
					visible.Fprintf(t, "    %s\t%s\n", row[0], row[1])
				}
			}
		}
		visible.Fprintf(t, "\n")
	}
	for _, note := range l.Notes {
		visible.Fprintf(t, "%s\n", note)
	}
	return t.Flush()
}

// Section is a part of the list.
type Section struct {
	Title string
	Rows  []Bought
}

// Sections is what is bought; empty ones are left out.
func (l List) Sections() (out []Section) {
	var boards, cloth []Bought
	for _, s := range l.Boards {
		boards = append(boards, Bought{s.Name, fmt.Sprintf("%s of %s", reorder.Count(s.Buy, "sheet"), l.size(l.Board.W, l.Board.H)), l.forWhat(s)})
	}
	if s := l.Cloth; s.Pieces > 0 {
		cloth = append(cloth, Bought{s.Name, fmt.Sprintf("%s of a width of %s", l.rollLength(s.Length), l.Units.Length(binding.Exactly(l.Options.Cloth))), l.forWhat(s)})
	}
	for _, s := range []Section{
		{"paper, with sheets to spare", l.Papers}, {"thread, an estimate", l.Thread}, {"board, its grain along the second length", boards},
		{"cloth, its grain along the roll", cloth}, {"covers of paper", l.Covers},
	} {
		if len(s.Rows) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// forWhat is how many pieces a stock is for, and whether they are all measured.
func (l List) forWhat(s Stock) string {
	measured := 0
	for _, sheet := range s.Sheets {
		measured += len(sheet.Pieces)
	}
	text := reorder.Count(s.Pieces, "piece")
	if s.Guessed {
		text += fmt.Sprintf(", %d of them measured: buy, and measure before you cut", measured)
	}
	return text
}

// rollLength is a length of cloth to buy, up to the next centimetre or inch.
func (l List) rollLength(mm float64) string {
	step := 10.0
	if l.Units == binding.Inches {
		step = geom.Inch
	}
	return l.Units.ThreadLength(binding.Exactly(math.Ceil(mm/step-1e-6) * step))
}

// Plan is a sheet as it is cut: its drawing, its pieces and its cuts in words.
type Plan struct {
	Title  string
	SVG    template.HTML
	Pieces []Named
	Cuts   []string
}

// Named is a piece with its letter and its size.
type Named struct{ Letter, Of, Size string }

// Plans is how everything is cut that was measured.
func (l List) Plans() (out []Plan) {
	add := func(s Stock, roll bool) {
		for i, sheet := range s.Sheets {
			title := fmt.Sprintf("%s, sheet %d of %d", s.Name, i+1, len(s.Sheets))
			if roll {
				title = s.Name
			}
			p := Plan{Title: strings.ToUpper(title[:1]) + title[1:], Cuts: l.cutsText(sheet, roll)}
			for n, piece := range sheet.Pieces {
				p.Pieces = append(p.Pieces, Named{letter(n), visible.Text(piece.Of), l.size(piece.W, piece.H)})
			}
			p.SVG = template.HTML(drawing.Append(nil, l.draw(p.Title, sheet), fmt.Sprintf("cut%d", len(out)+1)))
			out = append(out, p)
		}
	}
	for _, s := range l.Boards {
		add(s, false)
	}
	add(l.Cloth, true)
	return out
}

// letter names a piece: A to Z, then A2, B2 and so on.
func letter(n int) string {
	name := string(rune('A' + n%26))
	if round := n / 26; round > 0 {
		name += fmt.Sprint(round + 1)
	}
	return name
}

// cutsText is the cuts in their order, in words.
func (l List) cutsText(s Sheet, roll bool) (out []string) {
	whole := "the sheet"
	if roll {
		whole = "the cloth"
	}
	cut := map[int]bool{} // strips of which something is cut off already
	for _, c := range s.Cuts {
		off := l.Units.Length(binding.Exactly(c.Off))
		text := ""
		switch {
		case c.Across && c.From == 0 && c.To == s.W && c.Piece < 0:
			text = fmt.Sprintf("Across the whole of %s, %s from its head: strip %d.", whole, off, c.Strip)
			whole = "what is left"
		case c.Across:
			text = fmt.Sprintf("Across, shorten this piece to %s.", off)
		default:
			of := fmt.Sprintf("strip %d", c.Strip)
			if cut[c.Strip] {
				of = "what is left of " + of
			}
			text, cut[c.Strip] = fmt.Sprintf("Along the grain, %s from the left end of %s.", off, of), true
		}
		if c.Piece >= 0 {
			text += " That is " + letter(c.Piece) + "."
		}
		out = append(out, text)
	}
	return out
}

// draw is the drawing of a sheet.
func (l List) draw(title string, s Sheet) drawing.Cutting {
	exact := func(mm float64) string { return l.Units.Length(binding.Exactly(mm)) }
	d := drawing.Cutting{
		Name: title, W: drawing.Stretch{Letter: "W", Name: "across", MM: s.W, Value: exact(s.W)},
		H: drawing.Stretch{Letter: "L", Name: "along the grain", MM: s.H, Value: exact(s.H)},
	}
	for n, p := range s.Pieces {
		d.Pieces = append(d.Pieces, drawing.CutPiece{Letter: letter(n), X: p.X, Y: p.Y, W: p.W, H: p.H, Size: l.size(p.W, p.H)})
	}
	for i, c := range s.Cuts {
		d.Cuts = append(d.Cuts, drawing.CutLine{Number: i + 1, Across: c.Across, At: c.At, From: c.From, To: c.To})
	}
	return d
}

//go:embed page.html
var pageHTML string

// generator marks pages written by this package.
const generator = pagestyle.Generator("shopping")

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"style": pagestyle.CSS, "drawings": func() template.CSS { return template.CSS(drawing.Style) },
	"generator": generator.HTML, "forbuying": func() string { return ForBuying },
	"count": reorder.Count, "capital": func(text string) string { return strings.ToUpper(text[:1]) + text[1:] },
}).Parse(pageHTML))

// WritePage writes the list and the cutting plan as one HTML page that needs nothing else.
func (l List) WritePage(w io.Writer) error {
	out := bufio.NewWriter(visible.NewWriter(w))
	if err := pageTemplate.Execute(out, l); err != nil {
		return err
	}
	return out.Flush()
}

// SpareText is what is left between two pieces.
func (l List) SpareText() string { return l.Units.Length(binding.Exactly(l.Spare)) }

// IsPage tells whether a file is a page that [List.WritePage] has written.
func IsPage(path string) bool { return generator.IsIn(path) }
