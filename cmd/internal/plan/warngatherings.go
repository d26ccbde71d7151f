package plan

import (
	"context"
	"math"
	"slices"

	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

const (
	// thickBlock is the thickness in mm above which a book opens badly and is
	// better made in volumes; a thin one of at most thinBlock leaves can be
	// sewn as a single gathering (both common practice, no source).
	thickBlock = 45.0
	thinBlock  = 24
)

// Advice is what could be done better, where nothing is wrong.
func (d *Draft) Advice() []phrase.Sentence { return slices.Clone(d.advice) }

func (d *Draft) advise(format string, args ...any) {
	d.advice = append(d.advice, phrase.New(format, args...))
}

// warnBlock is about the sizes of the gatherings and what fills them.
func (d *Draft) warnBlock() {
	d.warnForm()
	d.warnPieces()
	if s := d.Book.Form.Fold.Scheme(); s.OneStack || s.Alone {
		d.warnThick() // nothing else can be chosen
		return
	}
	d.warnBlanks()
	d.warnLone()
	if d.Options.OnlyGathering > 0 {
		return
	}
	d.warnThick()
	if d.FreeSizes && d.Book.Leaves() <= thinBlock && len(d.Book.Gatherings) > 1 && len(d.Between) == 0 && len(d.Volumes) == 1 {
		one := phrase.Set("gatherings", d.size())
		if d.Book.Form.ByPieces {
			one = d.setMost(d.size())
		}
		d.advise("the book has only %s: %s makes a single gathering of it, sewn with one thread", reorder.Count(len(d.Book.Sheets()), "sheet"), one)
	}
}

// warnBlanks names the plan that needs the fewest blanks if this one needs more.
func (d *Draft) warnBlanks() {
	per := d.Book.Form.PagesOf(1)
	if d.padding < per {
		return
	}
	o := d.Options
	var better phrase.Sentence
	sheets := d.size() - d.padding/per
	if len(o.Gatherings) > 0 {
		better = phrase.New("%s", phrase.Set("sheets", slices.Max([]int(o.Gatherings))))
	} else {
		fewest, most := o.Fewest, d.most()
		for sum(reorder.SizesBetween(sheets, fewest, d.most())) > sheets {
			fewest--
		}
		for sum(reorder.SizesBetween(sheets, o.Fewest, most)) > sheets && most < 2*d.most() {
			most++
		}
		better = phrase.New("%s", phrase.Set("fewest", fewest))
		if sum(reorder.SizesBetween(sheets, o.Fewest, most)) == sheets {
			better = phrase.New("%s or %s", d.setMost(most), better)
		}
	}
	d.say("%s fill gatherings that hold more than the pages need: %s needs only %s", reorder.Count(d.padding, "blank page"), better, reorder.Count(d.padding%per, "blank"))
}

func sum(sizes []int) int {
	n := 0
	for _, s := range sizes {
		n += s
	}
	return n
}

// warnLone names gatherings of a single fold. At the end of a book such a
// gathering needs its back guarded (Cockerell 1901, p. 42).
func (d *Draft) warnLone() {
	if len(d.Book.Gatherings) == 1 {
		return
	}
	for _, g := range d.Gatherings() {
		if len(g.Pages) > 4 {
			continue
		}
		text := phrase.New("gathering %d is a single folded sheet, which is weak to sew", g.Number)
		if g.Number == len(d.Book.Gatherings) {
			text = phrase.New("gathering %d, the last, is a single folded sheet, which needs a guard at the spine", g.Number)
		}
		if most, ok := avoidLone(d.size(), d.most()); ok {
			text = phrase.New("%s: %s avoids it", text, d.setMost(most))
		}
		d.say("%s", text)
	}
}

// most is the most sheets, or pieces, that a gathering may have.
func (d *Draft) most() int {
	if len(d.Options.Gatherings) > 0 {
		return slices.Max([]int(d.Options.Gatherings))
	}
	return max(d.Options.Sheets, d.Options.Pieces)
}

// avoidLone finds the limit nearest to most with which no gathering has one sheet.
func avoidLone(sheets, most int) (int, bool) {
	for off := range 4 {
		for _, m := range []int{most + off, most - off} {
			if m > 1 && slices.Min(reorder.SizesBetween(sheets, 1, m)) > 1 {
				return m, true
			}
		}
	}
	return 0, false
}

// lastGathering is how many pages the last gathering holds, and how many blanks fill it.
func (d *Draft) lastGathering() (pages, blanks int) {
	own := d.own(d.Book.Gatherings)
	last := own[len(own)-1].Pages
	for _, page := range last {
		if page != 0 {
			pages++
		}
	}
	trailing := 0
	for _, page := range slices.Backward(last) {
		if page != 0 {
			break
		}
		trailing++
	}
	return pages, min(d.padding, max(0, trailing-d.Options.BlanksAfter))
}

// adviseLast names another number of sheets, or another fold, where the last gathering would hold hardly any
// pages: three blanks and more for each.
func (d *Draft) adviseLast(ctx context.Context) error {
	pages, blanks := d.lastGathering()
	if blanks < 3*pages || len(d.own(d.Book.Gatherings)) == 1 || d.Options.OnlyGathering > 0 || d.padding >= d.Book.Form.PagesOf(1) {
		return nil // the last is warned of with other words
	}
	var cures []phrase.Setting
	for more := 1; more <= 4; more++ {
		cures = append(cures, d.setMost(d.most()+more))
		if d.most() > more {
			cures = append(cures, d.setMost(d.most()-more))
		}
	}
	for _, s := range append(cures, phrase.Set("fold", reorder.Quarto), phrase.Set("fold", reorder.Folio)) {
		t, ok := d.Try(ctx, s)
		if !ok || t.padding >= t.Book.Form.PagesOf(1) {
			continue
		}
		if p, b := t.lastGathering(); b <= p {
			d.advise("the last gathering holds only %s and %s: with %s it holds %s and %s", reorder.Count(pages, "page"), reorder.Count(blanks, "blank"), s, reorder.Count(p, "page"), reorder.Count(b, "blank"))
			break
		}
	}
	return ctx.Err()
}

// warnThick proposes volumes for a block that is too thick.
func (d *Draft) warnThick() {
	caliper, of := d.Options.LeafCaliper()
	most := 0
	for _, v := range d.Volumes {
		leaves := 0
		for _, g := range d.Book.Gatherings[v.First-1 : v.Last()] {
			leaves += len(g.Pages) / 2 * d.Book.Form.LeafThicknesses()
		}
		most = max(most, leaves)
	}
	thick := caliper.Times(most).Usual
	if thick <= thickBlock {
		return
	}
	what := "the text block"
	if len(d.Volumes) > 1 {
		what = "the thickest volume"
	}
	whole := caliper.Times(d.Book.Leaves() * d.Book.Form.LeafThicknesses()).Usual
	volumes := int(math.Ceil(whole / thickBlock))
	for volumes <= len(d.Volumes) {
		volumes++
	}
	if volumes > len(d.Book.Gatherings) {
		return
	}
	d.say("%s is about %.0f mm thick with leaves of %s, more than %g mm: %s makes about %.0f mm of each", what, thick, of, thickBlock, phrase.Set("volumes", volumes), whole/float64(volumes))
}

// warnForm names what is hard to fold by hand.
func (d *Draft) warnForm() {
	form := d.Book.Form
	s := form.Fold.Scheme()
	_, noun := d.Counted()
	thick, pieces := 0, 0
	for _, g := range d.Gatherings() {
		thick = max(thick, form.Thicknesses(d.SizeOf(g)))
		pieces = max(pieces, form.Pieces(d.SizeOf(g)))
	}
	if thick > reorder.WellFolded {
		d.say("the last fold bends %d thicknesses of paper at once, and more than %d fold badly: use fewer %ss per gathering, or %s", thick, reorder.WellFolded, noun, phrase.Set("nest", "inset"))
	}
	if s.Handy > 0 && pieces > s.Handy {
		what := "sheets"
		if form.Cut > 1 {
			what = "pieces"
		}
		d.say("gatherings of %d %s folded as %s are hard to fold by hand: use %s", pieces, what, form.Fold, d.setMost(max(1, s.Handy/form.Pieces(1))))
	}
}
