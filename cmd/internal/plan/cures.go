package plan

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/phrase"
)

func keysOf[T any](m map[int]T) []int { return slices.Sorted(maps.Keys(m)) }

// Try plans the job once more with other settings, to see what would come of them: nothing is named as a
// cure that has not been tried. It warns of nothing, and is not ok if the job cannot be planned so.
func (d *Draft) Try(ctx context.Context, settings ...phrase.Setting) (*Draft, bool) {
	r, err := d.With(settings...)
	if err != nil {
		return nil, false
	}
	v := d.Survey
	if r.Options.Box != d.Options.Box || r.Options.Margin != d.Options.Margin {
		if v, err = survey.Look(ctx, d.Source, r.Options); err != nil {
			return nil, false
		}
	}
	t, err := arrange(r, v)
	return t, err == nil
}

// UsualEdge is what office printers cannot reach of the paper, in mm: 1/6 in (common practice, no source).
const UsualEdge = 4.2

// EdgeToClear is the part of the paper that print has to keep clear of, and whether it is only assumed, because
// nothing is known of the printer.
func (d *Draft) EdgeToClear() (keep options.Edges, assumed bool) {
	if d.Options.KeepClear.Given {
		return d.Options.KeepClear, false
	}
	return options.Edges{Given: true, Head: UsualEdge, Tail: UsualEdge, Left: UsualEdge, Right: UsualEdge}, true
}

// inEdge is the pages whose ink leaves the printable part of the paper. Pages that cannot be drawn are left out.
func (d *Draft) inEdge(ctx context.Context, printable geom.Rect) (found []lost, err error) {
	near := d.NearEdge(printable)
	if len(near) == 0 {
		return nil, ctx.Err()
	}
	err = d.EachPicture(ctx, keysOf(near), func(page int, small survey.Picture, err error) error {
		for _, p := range near[page] {
			if err != nil {
				break
			}
			if mm, into := d.IntoEdge(small, p, printable); into {
				found = append(found, lost{page, mm})
			}
		}
		return ctx.Err()
	})
	return found, err
}

// CureEdge names the least change with which no ink leaves the printable part of the paper: another place on the
// leaf, else the largest scale. It begins with a colon, and is empty where nothing helps.
func (d *Draft) CureEdge(ctx context.Context, printable geom.Rect) phrase.Sentence {
	clears := func(s phrase.Setting) bool {
		t, ok := d.Try(ctx, s)
		if !ok {
			return false
		}
		found, err := t.inEdge(ctx, printable)
		return err == nil && len(found) == 0
	}
	for _, place := range []reorder.Stand{reorder.AgainstSpine, reorder.InMiddle} {
		if s := phrase.Set("place", place); place != d.Options.Place && clears(s) {
			return phrase.New(": %s keeps it clear", s)
		}
	}
	scale := func(percent int) phrase.Setting { return phrase.Set("scale", percent, "%") }
	now := int(math.Ceil(d.Placement.Scale*100)) - 1
	// Below two thirds a book is another book.
	low, high := max(1, now*2/3), now
	if !clears(scale(low)) {
		return phrase.New("")
	}
	for low < high {
		if middle := (low + high + 1) / 2; clears(scale(middle)) {
			low = middle
		} else {
			high = middle - 1
		}
	}
	return phrase.New(": %s keeps it clear", scale(low))
}

// CureContent is a margin with which the box around what is printed keeps print clear of the fold and of the
// paper's edge, and the job as it would be with it; nil where none is found.
func (d *Draft) CureContent(ctx context.Context) (*Draft, []phrase.Setting) {
	margin := 0.0
	scale := d.Placement.Scale
	for range 5 {
		margin = max(margin+1, math.Ceil(FoldClear/scale))
		settings := []phrase.Setting{phrase.Set("box", "content"), phrase.Set("margin", options.Length(margin))}
		t, ok := d.Try(ctx, settings...)
		if !ok {
			return nil, nil
		}
		if t.IsClear(ctx) {
			return t, settings
		}
		scale = t.Placement.Scale
	}
	return nil, nil
}

// IsClear tells whether all print keeps clear of the fold and of the edge that cannot be printed.
func (d *Draft) IsClear(ctx context.Context) bool {
	keep, _ := d.EdgeToClear()
	found, err := d.inEdge(ctx, d.Printable(keep))
	near, _, any := d.nearFold(ctx)
	return err == nil && len(found) == 0 && any && near >= FoldClear-LeastInk
}

// warnContent is about a box around what is printed, which leaves print no margin but the one asked for: of the edge
// that a printer is known not to reach others warn.
func (d *Draft) warnContent(ctx context.Context) error {
	if d.Options.Box != options.BoxContent || d.Options.Dummy {
		return nil
	}
	var reaches []string
	if near, page, any := d.nearFold(ctx); any && near < FoldClear-LeastInk {
		how := "reaches"
		if mm := math.Round(near); mm > 0 {
			how = fmt.Sprintf("comes within %g mm of", mm)
		}
		reaches = append(reaches, fmt.Sprintf("%s the fold, where it is hard to read (page %d)", how, page))
	}
	if keep, assumed := d.EdgeToClear(); assumed {
		if found, err := d.inEdge(ctx, d.Printable(keep)); err == nil && len(found) > 0 {
			worst := slices.MaxFunc(found, func(a, b lost) int { return cmp.Or(cmp.Compare(a.mm, b.mm), b.page-a.page) })
			reaches = append(reaches, fmt.Sprintf("runs into the outermost %g mm of the paper, which most printers cannot reach (page %d, by %.1f mm)", UsualEdge, worst.page, worst.mm))
		}
	}
	if reaches == nil {
		return ctx.Err()
	}
	text := phrase.New("print %s", strings.Join(reaches, " and "))
	if _, settings := d.CureContent(ctx); settings != nil {
		text = phrase.New("%s: %s keeps it clear", text, settings[1])
	}
	d.say("%s", text)
	return ctx.Err()
}

// SmallestType is the size in points below which type is too small to read with ease (common practice, no source).
const SmallestType = 7

// TypeTooSmall tells whether the plan makes most type too small to read with ease, and how large it comes out, in points.
// The source's own size is its author's choice, and of wide pages on tall leaves it is said that they stand small.
func (d *Draft) TypeTooSmall() (pt float64, tooSmall bool) {
	const shrunk = 0.97
	if d.Options.Dummy || d.Placement.Scale > shrunk || d.isWideOnTall() {
		return 0, false
	}
	pt = RoundTenth(d.TypeSize() * d.Placement.Scale)
	return pt, pt > 0 && pt < SmallestType
}

func (d *Draft) warnType(ctx context.Context) error {
	if pt, tooSmall := d.TypeTooSmall(); tooSmall {
		d.say("most type comes out at %g pt, too small to read with ease (below %d pt)%s", pt, SmallestType, d.CureType(ctx, d.TypeSize(), SmallestType))
	}
	return ctx.Err()
}

// CureType names what was tried and makes type of a size in the source, in points, large enough: folds of fewer
// leaves and fewer cuts on the same paper, and larger paper. Where nothing does, it names what makes it largest. It begins with a
// colon, and is empty if nothing helps.
func (d *Draft) CureType(ctx context.Context, source, enough float64) phrase.Sentence {
	type cure struct {
		setting phrase.Setting
		pt      float64
	}
	best := func(candidates ...phrase.Setting) (found cure) {
		for _, s := range candidates {
			t, ok := d.Try(ctx, s)
			if !ok {
				continue
			}
			// Of those that do, the one that changes the book least.
			if c := (cure{s, RoundTenth(source * t.Placement.Scale)}); c.pt > found.pt && found.pt < enough {
				found = c
			}
		}
		return found
	}
	var folds, papers []phrase.Setting
	for _, f := range []reorder.Fold{reorder.Octavo, reorder.Quarto, reorder.Folio} {
		if f != d.Options.Fold {
			folds = append(folds, phrase.Set("fold", f))
		}
	}
	for c := d.Options.Cut / 2; c > 1; c /= 2 {
		folds = append(folds, phrase.Set("cut", c))
	}
	for _, name := range []string{"a4", "a3", "letter", "ledger"} { // which are easily had
		if p, err := reorder.ParsePaper(name); err == nil && p.Size.W > d.Paper.Size.W+1 && p.Size.H > d.Paper.Size.H+1 && options.UnitsOf(p.Name) == options.UnitsOf(d.Paper.Name) {
			papers = append(papers, phrase.Set("paper", name))
		}
	}
	cures := slices.DeleteFunc([]cure{best(folds...), best(papers...)}, func(c cure) bool { return c.pt <= RoundTenth(source*d.Placement.Scale) })
	if slices.ContainsFunc(cures, func(c cure) bool { return c.pt >= enough }) {
		cures = slices.DeleteFunc(cures, func(c cure) bool { return c.pt < enough })
	}
	text := phrase.New("")
	for i, c := range cures {
		text = phrase.New("%s%s %s makes it %g pt", text, []string{":", ","}[min(i, 1)], c.setting, c.pt)
	}
	return text
}

// RoundTenth rounds to a tenth.
func RoundTenth(v float64) float64 { return math.Round(v*10) / 10 }
