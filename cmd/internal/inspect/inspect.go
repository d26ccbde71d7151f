package inspect

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

// Findings is what is found out about a source before it is printed: what it
// holds, how it will come out on the chosen paper, and what is worth a thought.
// Pages are the source's pages.
type Findings struct {
	File        string               `json:"file"`
	SHA256      string               `json:"sha256"`
	Bytes       int64                `json:"bytes"`
	Pages       int                  `json:"pages"`
	Sizes       []SizeFound          `json:"sizes"` // the commonest first
	Encrypted   bool                 `json:"encrypted"`
	RightToLeft bool                 `json:"right_to_left"`
	Numbering   Numbering            `json:"numbering"`
	Fonts       []FontFound          `json:"fonts"`
	Layers      []pdf.LayerFact      `json:"layers"`
	Annotations []pdf.AnnotationFact `json:"annotations"`
	Printed     PrintedFacts         `json:"printed"`
	Spreads     *Spreads             `json:"spreads,omitempty"` // nil: the pages are single pages
	Margins     *Margins             `json:"margins,omitempty"` // nil: too little print to tell
	Cover       bool                 `json:"cover"`             // the first page looks like one
	Warnings    []phrase.Sentence    `json:"warnings"`          // of prepare with the same options
	Findings    []phrase.Sentence    `json:"findings"`          // what prepare does not look for

	undrawn, unread survey.Undrawn
}

// SizeFound is a size of pages, as they are seen.
type SizeFound struct {
	WidthMM  float64  `json:"width_mm"`
	HeightMM float64  `json:"height_mm"`
	Pages    PageList `json:"pages"`
}

// FontFound is a font of the source.
type FontFound struct {
	Name     string   `json:"name"`
	Kind     string   `json:"kind"`
	Embedded bool     `json:"embedded"`
	Pages    PageList `json:"pages"`
}

// PrintedFacts is how the source comes out on paper.
type PrintedFacts struct {
	Paper    string      `json:"paper"`
	Scale    float64     `json:"scale"` // 1 is 100 percent
	TypePT   float64     `json:"type_pt"`
	SourcePT float64     `json:"source_type_pt"` // 0: the sampled pages hold no text
	Pictures int         `json:"pictures"`
	Coarse   []Coarse    `json:"coarse_pictures"`     // below 150 dpi
	Edge     PageLengths `json:"in_unprintable_edge"` // by how much
	KeepMM   [4]float64  `json:"unprintable_edge_mm"` // head, tail, left, right
	Assumed  bool        `json:"unprintable_assumed"` // the profile does not know it
	Fold     PageLengths `json:"within_10mm_of_fold"` // how near
	Undrawn  PageList    `json:"pages_not_drawn"`
}

// PageList is rising page numbers; they are written as the option pages takes them.
type PageList []int

func (l PageList) MarshalText() ([]byte, error) { return plan.PageRanges(l).MarshalText() }

// PageLength is a length in mm that belongs to a page.
type PageLength struct {
	Page int     `json:"page"`
	MM   float64 `json:"mm"`
}

// PageLengths are in the order of pages.
type PageLengths []PageLength

// Pages are the pages, each once.
func (l PageLengths) Pages() []int {
	var out []int
	for _, v := range l {
		out = append(out, v.Page)
	}
	return slices.Compact(out)
}

func (l PageLengths) sort() {
	slices.SortFunc(l, func(a, b PageLength) int { return cmp.Or(a.Page-b.Page, cmp.Compare(a.MM, b.MM)) })
}

// Look looks at everything that [Findings] tells. The draft is the job as
// prepare would plan it. progress is told about each page that is drawn.
func Look(ctx context.Context, draft *plan.Draft, progress Progress) (Findings, error) {
	d := inspector{draft}
	in := Findings{
		File: d.Name, SHA256: d.SHA256(), Bytes: d.Bytes(), Pages: len(d.Pages()),
		Sizes: d.sizesFound(), Encrypted: d.Encrypted(), RightToLeft: d.RightToLeft(),
		Layers: d.Layers(), Annotations: d.Annotations(),
		Fonts: []FontFound{}, Findings: []phrase.Sentence{},
		undrawn: survey.Undrawn{}, unread: survey.Undrawn{},
		Printed: PrintedFacts{
			Paper: d.Paper.Name, Scale: d.Placement.Scale, Coarse: []Coarse{}, Edge: PageLengths{}, Fold: PageLengths{},
		},
	}
	held, err := d.Contents(ctx)
	if err != nil {
		return in, err
	}
	for _, f := range held.Fonts {
		in.Fonts = append(in.Fonts, FontFound{f.Name, f.Kind, f.Embedded, f.Pages})
	}
	doc, err := d.Render(ctx)
	if err != nil {
		return in, err
	}
	defer doc.Close()
	if err := d.inspectInk(ctx, &in, progress); err != nil {
		return in, err
	}
	if err := d.inspectType(ctx, doc, &in); err != nil {
		return in, err
	}
	if err := d.inspectPictures(ctx, doc, &in, held.Pictures); err != nil {
		return in, err
	}
	if err := d.inspectNumbers(ctx, doc, &in); err != nil {
		return in, err
	}
	in.Warnings = append([]phrase.Sentence{}, d.Warnings()...)
	in.find(d)
	return in, nil
}

// Progress is told about the pages drawn.
type Progress interface{ Step(pages int) }

// inspector looks at a job before it is written.
type inspector struct{ *plan.Draft }

// sizesFound groups the source's pages by size, to a millimetre.
func (d inspector) sizesFound() []SizeFound {
	var out []SizeFound
	for _, p := range d.Pages() {
		i := slices.IndexFunc(out, func(s SizeFound) bool {
			return near(s.WidthMM, p.Size.W, 0.5) && near(s.HeightMM, p.Size.H, 0.5)
		})
		if i < 0 {
			i = len(out)
			out = append(out, SizeFound{WidthMM: tenth(p.Size.W), HeightMM: tenth(p.Size.H)})
		}
		out[i].Pages = append(out[i].Pages, p.Number)
	}
	slices.SortStableFunc(out, func(a, b SizeFound) int { return len(b.Pages) - len(a.Pages) })
	return out
}

// eachPage reads pages one by one; drawn is a page's size for the renderer. A page that cannot be
// read is noted, unless it is said already that it could not be drawn.
func (in *Findings) eachPage(ctx context.Context, doc *render.Document, pages []int, read func(page int, drawn geom.Size) error) error {
	for _, page := range pages {
		drawn, err := doc.Size(ctx, page)
		if err == nil {
			err = read(page, drawn)
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil && !slices.Contains(in.Printed.Undrawn, page) {
			in.unread.Add(page, err)
		}
	}
	return nil
}

// find says what is worth a thought and is no warning of prepare.
func (in *Findings) find(d inspector) {
	say := func(format string, args ...any) { in.Findings = append(in.Findings, phrase.New(format, args...)) }
	if s := in.Spreads; s != nil && d.Options.Split != options.SplitSpreads {
		say("the pages look like spreads, two pages side by side: %s", s.cure())
	}
	if missing := in.MissingFonts(); len(missing) > 0 {
		say("%s not in the file, so that others may be printed instead: %s", countAre(len(missing), "font"), strings.Join(missing, ", "))
	}
	p := in.Printed
	if split := in.Spreads == nil || d.Options.Split == options.SplitSpreads; split && p.TypePT > 0 && p.TypePT < smallType {
		say("most type comes out at %g pt, which is small to read (below %g pt): larger paper or %s helps", p.TypePT, smallType, phrase.Set("box", "content"))
	}
	if len(p.Coarse) > 0 {
		worst := coarsest(p.Coarse)
		say("%s: pictures of less than %d dpi as printed, %.0f dpi%s", in.name(coarsePages(p.Coarse)), coarseDPI, worst.DPI, in.worstOn(coarsePages(p.Coarse), worst.Page))
	}
	if len(p.Edge) > 0 && p.Assumed {
		worst := slices.MaxFunc(p.Edge, func(a, b PageLength) int { return cmp.Compare(a.MM, b.MM) })
		say("%s: ink in the outermost %g mm of the paper, which most printers cannot reach, by %.1f mm%s", in.name(p.Edge.Pages()), usualEdge, worst.MM, in.worstOn(p.Edge.Pages(), worst.Page))
	}
	if len(p.Fold) > 0 {
		worst := slices.MinFunc(p.Fold, func(a, b PageLength) int { return cmp.Compare(a.MM, b.MM) })
		say("%s: ink nearer than %d mm to the fold, where it is hard to read, %.1f mm%s: %s moves it away", in.name(p.Fold.Pages()), foldClear, worst.MM, in.worstOn(p.Fold.Pages(), worst.Page), phrase.Set("gutter"))
	}
	in.undrawn.Each(func(what string) { say("%s, so nothing is said about the ink there", what) })
	in.unread.Each(func(what string) { say("%s, so its type, pictures and number are left out here", what) })
	in.findSides(d, say)
}

// MissingFonts are the names of the fonts that are not in the file.
func (in *Findings) MissingFonts() []string {
	var names []string
	for _, f := range in.Fonts {
		if !f.Embedded {
			names = append(names, f.Name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// name names pages; all of them shortly.
func (in *Findings) name(pages []int) string {
	if len(pages) == in.Pages && in.Pages > 1 {
		return "all pages"
	}
	return reorder.PagesText(pages)
}

// worstOn names the page of the worst case where there are others.
func (in *Findings) worstOn(pages []int, worst int) string {
	if len(pages) == 1 {
		return ""
	}
	return fmt.Sprintf(" on page %d", worst)
}

func countAre(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " is"
	}
	return fmt.Sprintf("%d %ss are", n, noun)
}

func near(a, b, slack float64) bool { return a-b <= slack && b-a <= slack }

func tenth(v float64) float64 { return float64(int(v*10+0.5)) / 10 }

// pickEvenly picks at most n of the pages, evenly.
func pickEvenly(pages []int, n int) []int {
	if len(pages) <= n {
		return pages
	}
	out := make([]int, n)
	for i := range out {
		out[i] = pages[i*len(pages)/n]
	}
	return out
}

// inspectedPages are the source pages that the book shows.
func (d inspector) inspectedPages() []int {
	var out []int
	for _, page := range d.Places() {
		if page != 0 {
			out = append(out, d.SourcePage(page))
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Type below this size is small to read, in points (the figure;
// common practice, no source).
const smallType = 8.5

// sampledPages is how many pages are looked at for what is the same throughout.
const sampledPages = 40

// inspectType finds the size that most letters of a sample of pages have.
func (d inspector) inspectType(ctx context.Context, doc *render.Document, in *Findings) error {
	count := map[float64]int{}
	err := in.eachPage(ctx, doc, pickEvenly(d.inspectedPages(), sampledPages), func(page int, drawn geom.Size) error {
		sizes, err := doc.TypeSizes(ctx, page)
		unit := d.Pages()[page-1].Size.W / drawn.W
		for mm, n := range sizes {
			count[tenth(mm*unit/25.4*72)] += n
		}
		return err
	})
	most := 0
	for pt, n := range count {
		if n > most || n == most && pt < in.Printed.SourcePT {
			most, in.Printed.SourcePT = n, pt
		}
	}
	in.Printed.TypePT = tenth(in.Printed.SourcePT * d.Placement.Scale)
	return err
}
