// Package inspect finds out what is worth a thought about a source before it is
// printed: [Look] measures ink, type, pictures and page numbers of a draft's source
// as they will come out on paper, and what it finds are [Findings].
package inspect

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/lists"
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
	return slices.Compact(lists.Map(l, func(v PageLength) int { return v.Page }))
}

func (l PageLengths) sort() {
	slices.SortFunc(l, func(a, b PageLength) int { return cmp.Or(a.Page-b.Page, cmp.Compare(a.MM, b.MM)) })
}

const (
	smallType    = 8.5 // pt; type below it is small to read (the figure; common practice, no source)
	sampledPages = 40  // so many pages are looked at for what is the same throughout
)

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
	in.Printed.SourcePT = d.TypeSize()
	in.Printed.TypePT = plan.RoundTenth(in.Printed.SourcePT * d.Placement.Scale)
	d.inspectPictures(&in, held.Pictures)
	if err := d.inspectNumbers(ctx, doc, &in); err != nil {
		return in, err
	}
	in.Warnings = append([]phrase.Sentence{}, d.Warnings()...)
	in.find(ctx, d)
	return in, ctx.Err()
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
			out = append(out, SizeFound{WidthMM: plan.RoundTenth(p.Size.W), HeightMM: plan.RoundTenth(p.Size.H)})
		}
		out[i].Pages = append(out[i].Pages, p.Number)
	}
	slices.SortStableFunc(out, func(a, b SizeFound) int { return len(b.Pages) - len(a.Pages) })
	return out
}

// find says what is worth a thought and is no warning of prepare.
func (in *Findings) find(ctx context.Context, d inspector) {
	say := func(format string, args ...any) { in.Findings = append(in.Findings, phrase.New(format, args...)) }
	if s := in.Spreads; s != nil && d.Options.Split != options.SplitSpreads {
		say("the pages look like spreads, two pages side by side: %s", s.cure())
	}
	if missing := in.MissingFonts(); len(missing) > 0 {
		say("%s not in the file, so the printer may use a substitute: %s", countAre(len(missing), "font"), strings.Join(missing, ", "))
	}
	p := in.Printed
	if split := in.Spreads == nil || d.Options.Split == options.SplitSpreads; split && p.TypePT > 0 && p.TypePT < smallType {
		in.findType(ctx, d, say)
	}
	if len(p.Coarse) > 0 {
		worst := slices.MinFunc(p.Coarse, func(a, b Coarse) int { return cmp.Compare(a.DPI, b.DPI) })
		say("%s: pictures print at less than %d dpi, the coarsest at %.0f dpi%s", in.name(coarsePages(p.Coarse)), coarseDPI, worst.DPI, in.worstOn(coarsePages(p.Coarse), worst.Page))
	}
	if len(p.Edge) > 0 && p.Assumed {
		keep, _ := d.EdgeToClear()
		worst := slices.MaxFunc(p.Edge, func(a, b PageLength) int { return cmp.Compare(a.MM, b.MM) })
		say("%s: ink in the outermost %g mm of the paper, which most printers cannot reach, by %.1f mm%s%s", in.name(p.Edge.Pages()), plan.UsualEdge, worst.MM, in.worstOn(p.Edge.Pages(), worst.Page), d.CureEdge(ctx, d.Printable(keep)))
	}
	if len(p.Fold) > 0 {
		worst := slices.MinFunc(p.Fold, func(a, b PageLength) int { return cmp.Compare(a.MM, b.MM) })
		say("%s: ink within %d mm of the fold, where it is hard to read, at %.1f mm%s%s", in.name(p.Fold.Pages()), plan.FoldClear, worst.MM, in.worstOn(p.Fold.Pages(), worst.Page), d.cureFold(ctx, worst.MM))
	}
	in.undrawn.Each(func(what string) { say("%s, so its ink was not checked", what) })
	in.unread.Each(func(what string) { say("%s, so its page number was not checked", what) })
	in.findSides(d, say)
}

// findType says that type is small, and what was tried and makes it larger; what is a warning already is not said again.
func (in *Findings) findType(ctx context.Context, d inspector, say func(string, ...any)) {
	text, cure := phrase.New("the type is small"), phrase.New("")
	_, warned := d.TypeTooSmall()
	if !warned {
		text = phrase.New("most type comes out at %g pt, which is small to read (below %g pt)", in.Printed.TypePT, smallType)
		cure = d.CureType(ctx, in.Printed.SourcePT, smallType)
	}
	if t, settings := d.CureContent(ctx); t != nil && d.Options.Box != options.BoxContent {
		if pt := plan.RoundTenth(in.Printed.SourcePT * t.Placement.Scale); pt > in.Printed.TypePT {
			before := ": "
			if cure.String() != "" {
				before = "; "
			}
			cure = phrase.New("%s%s%s with %s makes it %g pt, clear of the fold and of the paper's edge", cure, before, settings[0], settings[1], pt)
		}
	}
	if !warned || cure.String() != "" {
		say("%s%s", text, cure)
	}
}

// cureFold names the gutter that moves print away from the fold, where one does and puts none into the paper's edge.
func (d inspector) cureFold(ctx context.Context, nearest float64) phrase.Sentence {
	gutter := phrase.Set("gutter", d.Options.Gutter+options.Length(math.Ceil(plan.FoldClear-nearest)))
	if t, ok := d.Try(ctx, gutter); ok && t.IsClear(ctx) {
		return phrase.New(": %s moves it away", gutter)
	}
	return phrase.New("")
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
