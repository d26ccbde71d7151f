package preview

import (
	"bufio"
	"cmp"
	"context"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/pagestyle"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

//go:embed page.html
var pageHTML string

// generator marks pages written by this package.
const generator = pagestyle.Generator("preview")

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"style":     pagestyle.CSS,
	"generator": generator.HTML,
}).Parse(pageHTML))

// IsPage tells whether a file is a page that [Page] has written.
func IsPage(path string) bool { return generator.IsIn(path) }

// Page writes one HTML page that holds all pictures and needs nothing else.
func Page(ctx context.Context, p *proof.Print, o Options, w io.Writer) error {
	made, err := plan.Read(p.Folder)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(visible.NewWriter(w))
	if err := pageTemplate.ExecuteTemplate(out, "head", p.SourceName()); err != nil {
		return err
	}
	err = drawAll(ctx, p, o, func(front, back picture) error {
		return pageTemplate.ExecuteTemplate(out, "sheet", showSheet(p, made, front, back))
	})
	if err != nil {
		return err
	}
	if err := pageTemplate.ExecuteTemplate(out, "foot", nil); err != nil {
		return err
	}
	return out.Flush()
}

// sheetView is a sheet on the page.
type sheetView struct {
	Number    int
	Gathering string // that it belongs to, and its number there
	Sides     []sideView
}

// sideView is one of its sides. The style of a side and of a label tells the page
// where things are once the side is turned for reading, and how it is printed.
type sideView struct {
	picture
	turn   int // by so many quarters anticlockwise its pages are upright
	paper  geom.Size
	Labels []label
}

// label is the number of a page on a side.
type label struct {
	Text  string
	Blank bool
	at    geom.Point // of the side as it is printed: shares of its width and height, from the upper left
	read  geom.Point // the same once it is turned
}

func showSheet(p *proof.Print, made plan.Plan, front, back picture) sheetView {
	view := sheetView{Number: front.Sheet}
	var gatherings []string
	for _, one := range []picture{front, back} {
		side := sideView{picture: one, paper: p.Paper(), turn: uprightTurn(p, one)}
		for _, place := range p.Places {
			if place.Sheet != one.at || place.Side != one.Side {
				continue
			}
			i := slices.IndexFunc(made.Gatherings, func(g plan.Gathering) bool { return g.Number == place.Gathering })
			g := made.Gatherings[i]
			side.Labels = append(side.Labels, side.labelOf(place, g))
			text := fmt.Sprintf("gathering %d", g.Number)
			if at := front.Sheet - g.FirstSheet; g.Pieces == 0 && g.Sheets > 1 && at >= 0 && at < g.Sheets {
				text = fmt.Sprintf("number %d of %d in gathering %d", at+1, g.Sheets, g.Number)
			}
			if !slices.Contains(gatherings, text) {
				gatherings = append(gatherings, text)
			}
		}
		slices.SortStableFunc(side.Labels, func(a, b label) int {
			return cmp.Or(cmp.Compare(math.Round(a.read.Y*20), math.Round(b.read.Y*20)), cmp.Compare(a.read.X, b.read.X))
		})
		view.Sides = append(view.Sides, side)
	}
	view.Gathering = strings.Join(gatherings, " and ")
	return view
}

// uprightTurn is by how many quarters, anticlockwise, most pages of a side have to be
// turned to be upright.
func uprightTurn(p *proof.Print, one picture) int {
	var count [4]int
	for _, place := range p.Places {
		if place.Sheet == one.at && place.Side == one.Side {
			quarters := int(math.Round(math.Atan2(place.Lies[1], place.Lies[0]) / (math.Pi / 2)))
			count[(quarters+4)%4]++
		}
	}
	return slices.Index(count[:], slices.Max(count[:]))
}

// labelOf is the number of what stands at a place: near the tail of its page.
func (s sideView) labelOf(place proof.Place, g plan.Gathering) label {
	const fromTail = 0.07 // of the page's height, in its lower margin
	at := place.Lies.Inverse().Apply(geom.Point{X: place.Size.W / 2, Y: place.Size.H * fromTail})
	l := label{at: geom.Point{X: at.X / s.paper.W, Y: 1 - at.Y/s.paper.H}}
	l.read = l.at
	for range s.turn {
		l.read = geom.Point{X: l.read.Y, Y: 1 - l.read.X}
	}
	i := place.Number - 1
	if l.Blank = g.Pages[i] == 0; l.Blank {
		l.Text = "blank"
		return l
	}
	l.Text = fmt.Sprint(g.Pages[i])
	if g.Halves != nil && g.Halves[i] != 0 {
		l.Text += ", " + g.Halves[i].String() + " half"
	}
	return l
}

// Style tells where the label stands.
func (l label) Style() template.CSS {
	return template.CSS(fmt.Sprintf("--x:%.1f%%;--y:%.1f%%;--read-x:%.1f%%;--read-y:%.1f%%", 100*l.at.X, 100*l.at.Y, 100*l.read.X, 100*l.read.Y))
}

// Style tells the shape of the side.
func (s sideView) Style() template.CSS {
	read, width := s.paper, 100.0
	if s.turn%2 == 1 {
		read = read.Turn()
		width = 100 * s.paper.W / read.W
	}
	return template.CSS(fmt.Sprintf("--ratio:%.1f/%.1f;--read-ratio:%.1f/%.1f;--read-width:%.2f%%;--read-turn:%ddeg",
		s.paper.W, s.paper.H, read.W, read.H, width, -90*s.turn))
}

// Source is the picture itself.
func (s sideView) Source() template.URL {
	return template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(s.PNG))
}

// Pages names what stands on the side, from left to right and from the head down.
func (s sideView) Pages() string {
	words := lists.Map(s.Labels, func(l label) string { return l.Text })
	switch {
	case len(words) == 0:
		return "no page stands on it"
	case !slices.ContainsFunc(s.Labels, func(l label) bool { return !l.Blank }):
		return "blank"
	case len(words) == 1:
		return "page " + words[0]
	}
	return "pages " + strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

// Caption is what stands below the side.
func (s sideView) Caption() string {
	name := "Front"
	if s.Side == reorder.Back {
		name = "Back"
	}
	if s.Failed != "" {
		return fmt.Sprintf("%s: %s (%s)", name, s.Pages(), s.Failed)
	}
	return name + ": " + s.Pages()
}
