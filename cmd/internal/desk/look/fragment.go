package look

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"foldwright/cmd/internal/desk/library"
	"foldwright/cmd/internal/desk/page"
	"foldwright/cmd/internal/drawing"
	"foldwright/cmd/internal/plan"
	"foldwright/reorder"
)

//go:embed look.html
var text string

var (
	fragment     = sync.OnceValue(func() *template.Template { return template.Must(template.New("fragment").Parse(text)) })
	openingsPage = page.Parse(`<h2>{{with .Body}}Openings {{.From}} to {{.To}}{{end}}</h2>{{template "look-openings" .Body}}<p><a href="/books/{{.Book.ID}}">Back to the plan</a></p>` + text)
	sheetsPage   = page.Parse(`<h2>{{with .Body}}Sheets {{.From}} to {{.To}}{{end}}</h2>{{template "look-sheets" .Body}}<p><a href="/books/{{.Book.ID}}">Back to the plan</a></p>` + text)
)

// How much is shown at once: on the plan, and where one leafs on.
const (
	fewOpenings, moreOpenings = 6, 12
	fewSheets, moreSheets     = 2, 6
)

// Fragment is the look of a planned book as HTML, for the page with its plan.
func Fragment(d *plan.Draft, b library.Book) (template.HTML, error) {
	openings := openingsOf(d, b.ID)
	show := struct {
		Openings   openingsView
		Sheets     sheetsView
		Gatherings gatheringsView
	}{showOpenings(openings, b.ID, 1, fewOpenings), showSheets(d, b.ID, 0, fewSheets), showGatherings(d, b.ID)}
	var out bytes.Buffer
	err := fragment().ExecuteTemplate(&out, "look", show)
	return template.HTML(out.String()), err
}

// ways is how one leafs.
type ways struct {
	Book          string
	From, To, All int // which are shown, from 1
	Prev, Next    int // from where the ones before and after are shown; 0: there are none
}

func waysTo(book string, from, together, step, all int) ways {
	from = max(1, min(from, all))
	w := ways{Book: book, From: from, To: min(all, from+together-1), All: all}
	if w.To < all {
		w.Next = w.To + 1
	}
	if from > 1 {
		w.Prev = max(1, from-step)
	}
	return w
}

// openingsView is some of the openings.
type openingsView struct {
	ways
	Openings []opening
}

func showOpenings(all []opening, book string, from, together int) openingsView {
	w := waysTo(book, from, together, moreOpenings, len(all))
	return openingsView{w, all[w.From-1 : w.To]}
}

// sheetsView is some of the sheets.
type sheetsView struct {
	ways
	Sheets []sheetView
}

func showSheets(d *plan.Draft, book string, first, together int) sheetsView {
	w := waysTo(book, first+1, together, moreSheets, len(d.Printed))
	return sheetsView{w, sheetsOf(d, book, w.From-1, w.To)}
}

// Has tells whether a kind of line is on any of the sheets.
func (s sheetsView) Has(kind string) bool {
	of := func(v sideView) bool {
		return slices.ContainsFunc(v.Lines, func(l line) bool { return l.Kind == kind })
	}
	return slices.ContainsFunc(s.Sheets, func(s sheetView) bool { return of(s.Front) || of(s.Back) })
}

// gatheringsView is all gatherings, seen from above.
type gatheringsView struct {
	Book    string
	Volumes []volumeView
	Large   template.HTML // one of those with the most leaves
	Unmoved bool          // nothing is known of the paper, so that pages are not moved for creep
}

type volumeView struct {
	Title      string // empty: the book is in one volume
	Gatherings []gatheringView
}

type gatheringView struct {
	Number  int
	Pages   string
	Drawing template.HTML
}

func showGatherings(d *plan.Draft, book string) gatheringsView {
	out := gatheringsView{Book: book}
	var most drawing.Leaves
	for _, v := range d.Volumes {
		volume := volumeView{}
		if len(d.Volumes) > 1 {
			volume.Title = fmt.Sprintf("Volume %d", v.Number)
		}
		for _, g := range d.Gatherings() {
			if g.Number < v.First || g.Number > v.Last() {
				continue
			}
			leaves := leavesOf(d, g)
			if leaves.Leaves > most.Leaves {
				most = leaves
			}
			leaves.Small = true
			volume.Gatherings = append(volume.Gatherings, gatheringView{
				g.Number, pagesIn(d, g),
				template.HTML(drawing.Append(nil, leaves, fmt.Sprintf("look-gathering-%d", g.Number))),
			})
		}
		if len(volume.Gatherings) > 0 {
			out.Volumes = append(out.Volumes, volume)
		}
	}
	out.Large = template.HTML(drawing.Append(nil, most, "look-leaves"))
	if most.Leaves > 3 && d.Book.Form.Fold.Scheme().Held == reorder.Sewn && most.Creep == 0 {
		out.Unmoved = true
	}
	return out
}

func leavesOf(d *plan.Draft, g reorder.Gathering) drawing.Leaves {
	caliper, _ := d.Options.LeafCaliper()
	return drawing.Leaves{
		Name: fmt.Sprintf("Gathering %d", g.Number), Form: d.Book.Form, Leaves: (len(g.Pages) + 1) / 2,
		Wide:    d.Book.Form.Bind.TurnToSide(d.Book.PanelSize()).W,
		Caliper: caliper.Usual, Creep: d.Options.CreepIn(d.Book), Trimmed: d.Trim.ForeEdge,
	}
}

// pagesIn names the first and the last page of a gathering.
func pagesIn(d *plan.Draft, g reorder.Gathering) string {
	pages := slices.DeleteFunc(slices.Clone(g.Pages), func(p int) bool { return p == 0 })
	if len(pages) == 0 {
		return "blank"
	}
	first, last := d.SourcePage(pages[0]), d.SourcePage(pages[len(pages)-1])
	if first == last {
		return fmt.Sprintf("page %d", first)
	}
	return fmt.Sprintf("pages %d to %d", first, last)
}

// showOpenings shows the page on which one leafs through the openings.
func (s *room) showOpenings(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.leaf(w, r, b, openingsPage, "The openings of %s", func(d *plan.Draft, v *page.View) {
		all := openingsOf(d, b.ID)
		from, _ := strconv.Atoi(r.FormValue("from"))
		if asked := strings.TrimSpace(r.FormValue("page")); asked != "" {
			number, err := strconv.Atoi(asked)
			i := slices.IndexFunc(all, func(o opening) bool {
				return slices.ContainsFunc(o.Pages, func(p pageView) bool { return p.Page == number && number > 0 })
			})
			if err != nil || i < 0 {
				v.Notice = fmt.Sprintf("This book has no page %s.", asked)
			} else {
				from = i + 1
			}
		}
		v.Body = showOpenings(all, b.ID, from, moreOpenings)
	})
}

// showSheets shows the page on which one leafs through the sheets.
func (s *room) showSheets(w http.ResponseWriter, r *http.Request, b library.Book) error {
	return s.leaf(w, r, b, sheetsPage, "The sheets of %s", func(d *plan.Draft, v *page.View) {
		from, _ := strconv.Atoi(r.FormValue("from"))
		first := from - 1
		if g, err := strconv.Atoi(r.FormValue("gathering")); err == nil {
			first = firstSheet(d, g)
		}
		v.Body = showSheets(d, b.ID, first, moreSheets)
	})
}

// leaf shows a page of the draft of a book.
func (s *room) leaf(
	w http.ResponseWriter, r *http.Request, b library.Book, t page.Template, title string, show func(*plan.Draft, *page.View),
) error {
	d, release, err := s.drafts.Draft(r.Context(), b)
	if err != nil {
		return err
	}
	defer release()
	v := page.View{Title: fmt.Sprintf(title, b.Name), Book: &b, At: "plan"}
	show(d, &v)
	return s.Show(w, t, v)
}
