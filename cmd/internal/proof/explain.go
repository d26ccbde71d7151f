package proof

import (
	"context"
	"fmt"
	"image"
	"math"
	"slices"
	"strings"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder/geom"
)

// reportDiffering says of the places of a unit at which the renderer gives up that they still do
// not agree.
func (c *checker) reportDiffering(u *unit, _ *render.Error) {
	for _, e := range u.places {
		if e.wrong && e.fault == nil {
			c.report(e, Differs, "it differs from the source")
		}
	}
}

// explain finds out what is wrong at the places of a unit that do not agree.
func (c *checker) explain(ctx context.Context, u *unit) error {
	got, err := c.drawPrint(ctx, u)
	for _, e := range u.places {
		if err == nil && e.wrong && e.fault == nil {
			err = c.explainPlace(ctx, e, got)
		}
	}
	return err
}

func (c *checker) explainPlace(ctx context.Context, e *expectation, got *image.Gray) error {
	if e.from.File == nil {
		c.report(e, Missing, "nothing is printed there")
		return nil
	}
	var placed []render.Placed
	if e.Page != 0 {
		placed = append(placed, c.placedPage(e, e.Shown, e.stands))
	}
	want, err := c.compose(ctx, placed, c.DPI)
	if err != nil {
		return err
	}
	if got.Bounds() != want.Bounds() {
		c.report(e, Differs, "the page in the file does not have the size of the paper")
		return nil
	}
	r := c.canvas().rect(e.panel())
	d := c.difference(e, got, want)
	print := cropPicture(got, r)
	if e.Page != 0 && isBlank(print) {
		c.report(e, Missing, "nothing is printed there")
		return nil
	}
	// What explains the difference leaves hardly any of it.
	explains := func(placed render.Placed) (bool, error) {
		picture, err := c.compose(ctx, []render.Placed{placed}, c.DPI)
		if err != nil {
			return false, err
		}
		left := c.difference(e, got, picture)
		return left.Mean <= d.Mean*0.3, nil
	}
	if ok, err := c.isExchanged(e, got, explains); ok || err != nil {
		return err
	}
	if e.Page == 0 {
		c.report(e, Extra, "something is printed there, and it should be blank")
		return nil
	}
	if ok, err := c.isMoved(ctx, e, explains); ok || err != nil {
		return err
	}
	spot := inverse(e.printed).Bounds(c.canvas().mm(d.Block.Add(r.Min))).Centre() // on the page as it is read
	c.report(e, Differs, "it differs from the source, most %.0f mm from the left and %.0f mm from the head (a spot by %.0f percent, the page by %.1f)",
		spot.X, e.Size.H-spot.Y, d.Worst, d.Mean)
	return nil
}

// guess is a way in which a page of the text could stand at a place.
type guess struct {
	of       *expectation // the place where it belongs
	stands   geom.Matrix
	onHead   bool
	distance int
}

// isExchanged looks whether another page stands at a place, or the right one on
// its head.
func (c *checker) isExchanged(e *expectation, got *image.Gray, explains func(render.Placed) (bool, error)) (bool, error) {
	var guesses []guess
	model := e.Shown // whose box is looked at
	if model.Page == 0 {
		model = c.modelPage()
	}
	for _, onHead := range []bool{false, true} {
		for _, recto := range []bool{e.Recto, !e.Recto} {
			turn := geom.Identity
			if onHead {
				turn = geom.HalfTurn(e.Size)
			}
			edge := spine(c.plan.Options.Bind, recto)
			box := c.placing.matrixAt(model, edge, e.depth).Bounds(model.Box)
			like := likenessOf(got, c.canvas(), turn.Then(e.printed), box)
			for _, q := range c.expected {
				if q.Page == 0 || !q.drawn || q.Shown == e.Shown && !onHead && recto == e.Recto {
					continue
				}
				guesses = append(guesses, guess{q, c.placing.matrixAt(q.Shown, edge, e.depth).Then(turn), onHead, like.distance(&q.like)})
			}
		}
	}
	const tries = 4
	slices.SortStableFunc(guesses, func(a, b guess) int { return a.distance - b.distance })
	for _, g := range guesses[:min(tries, len(guesses))] {
		ok, err := explains(c.placedPage(e, g.of.Shown, g.stands))
		if err != nil {
			return false, err
		}
		if !ok {
			continue
		}
		switch {
		case g.of.Shown == e.Shown && g.onHead:
			c.report(e, Turned, "it is upside down")
		case g.of.Shown == e.Shown:
			c.report(e, Moved, "it is against the wrong edge of its leaf")
		case g.onHead:
			c.report(e, Exchanged, "%s is there instead, upside down", g.of.name())
		default:
			c.report(e, Exchanged, "%s is there instead", g.of.name())
		}
		return true, nil
	}
	return false, nil
}

// modelPage is some page that has the size of most.
func (c *checker) modelPage() survey.Shown {
	for _, e := range c.expected {
		if e.Page != 0 && e.Box.Size() == c.placing.most {
			return e.Shown
		}
	}
	return survey.Shown{Box: c.placing.most.Rect()}
}

func (e *expectation) name() string {
	if e.Half != 0 {
		return fmt.Sprintf("the %s half of page %d", e.Half, e.Page)
	}
	return fmt.Sprintf("page %d", e.Page)
}

// closer is the resolution at which it is measured how a page stands.
const closer = 150

// isMoved looks whether the right page stands elsewhere on its leaf or has
// another size.
func (c *checker) isMoved(ctx context.Context, e *expectation, explains func(render.Placed) (bool, error)) (bool, error) {
	got, err := c.files[e.from.File].Gray(ctx, e.from.Page, closer)
	if err != nil {
		return false, err
	}
	want, err := c.compose(ctx, []render.Placed{c.placedPage(e, e.Shown, e.stands)}, closer)
	if err != nil {
		return false, err
	}
	on := c.canvasAt(closer)
	for _, r := range c.markRects(e) {
		overlook(got, want, on.rect(e.printed.Bounds(r)))
	}
	got, want = cropPicture(got, on.rect(e.panel())), cropPicture(want, on.rect(e.panel()))
	a, ok := render.Dark(want, lostDark)
	b, found := render.Dark(got, lostDark)
	if !ok || !found {
		return false, nil
	}
	var tries []geom.Matrix // of the file's page, from where it should stand to where it stands
	// With its whole print on the leaf, the rectangle around it tells all.
	from, to := on.mm(a), on.mm(b)
	fw, fh, tw, th := from.Size().W, from.Size().H, to.Size().W, to.Size().H
	for _, s := range []float64{1, tw / fw, th / fh, math.Sqrt(tw / fw * th / fh)} {
		if s > 0.5 && s < 2 {
			f, t := from.Centre(), to.Centre()
			tries = append(tries, geom.Translate(-f.X, -f.Y).Then(geom.Enlarge(s)).Then(geom.Translate(t.X, t.Y)))
		}
	}
	// Otherwise print may have left the leaf at an edge, and only how it is
	// spread across and along tells.
	dx, dy := offset(profile(want, true), profile(got, true)), offset(profile(want, false), profile(got, false))
	mmX, mmY := on.size.W/float64(on.pixels.X), on.size.H/float64(on.pixels.Y)
	tries = append(tries, geom.Translate(float64(dx)*mmX, -float64(dy)*mmY))
	for _, m := range tries {
		p := c.placedPage(e, e.Shown, e.stands)
		p.Matrix = p.Matrix.Then(m)
		p.Clip = e.panel().Common(p.Matrix.Bounds(e.Seen))
		ok, err := explains(p)
		if err != nil {
			return false, err
		}
		if ok {
			c.reportMoved(e, m)
			return true, nil
		}
	}
	return false, nil
}

// reportMoved says by how much a page is too large and where its middle lies.
func (c *checker) reportMoved(e *expectation, m geom.Matrix) {
	middle := e.stands.Bounds(e.Box).Centre()
	at := inverse(e.printed).Apply(m.Apply(e.printed.Apply(middle)))
	what := ""
	if s := m[0]; math.Abs(s-1) > 0.003 {
		what = fmt.Sprintf("it is %.1f percent too large", (s-1)*100)
		if s < 1 {
			what = fmt.Sprintf("it is %.1f percent too small", (1-s)*100)
		}
	}
	for _, by := range []struct {
		mm        float64
		low, high string
	}{{at.X - middle.X, "left", "right"}, {at.Y - middle.Y, "tail", "head"}} {
		if math.Abs(by.mm) < 0.4 {
			continue
		}
		if what != "" {
			what += ", "
		} else {
			what = "it is "
		}
		where := by.high
		if by.mm < 0 {
			where = by.low
		}
		what += fmt.Sprintf("%.1f mm too far to the %s", math.Abs(by.mm), where)
	}
	if what == "" {
		what = "it is slightly out of place"
	}
	c.report(e, Moved, "%s", what)
}

// profile is how dark each column (or row) of a picture is.
func profile(g *image.Gray, columns bool) []int {
	b := g.Bounds()
	n := b.Dy()
	if columns {
		n = b.Dx()
	}
	out := make([]int, n)
	for y := range b.Dy() {
		for x := range b.Dx() {
			v := 255 - int(g.GrayAt(b.Min.X+x, b.Min.Y+y).Y)
			if columns {
				out[x] += v
			} else {
				out[y] += v
			}
		}
	}
	return out
}

// offset is by how many pixels the second profile lies beyond the first.
func offset(a, b []int) int {
	most := min(len(a), len(b)) / 4
	best, least := 0, math.Inf(1)
	for d := -most; d <= most; d++ {
		sum, n := 0, 0
		for i, v := range a {
			if k := i + d; k >= 0 && k < len(b) {
				diff := v - b[k]
				sum += max(diff, -diff)
				n++
			}
		}
		if mean := float64(sum) / float64(n); mean < least {
			best, least = d, mean
		}
	}
	return best
}

const (
	lostDark  = 200 // of 255; lighter greys are paper texture in scans
	lostLeast = 0.6 // mm, more than a pixel: less is not told from nothing
)

// checkLoss looks for what of a page would not be seen in the book though it
// is printed on the page: because the printer does not reach it, because the
// leaf ends before it, or because the knife takes it. want is the page of
// the file as it should be.
func (c *checker) checkLoss(ctx context.Context, e *expectation, want *image.Gray) error {
	o := c.plan.Options
	if k := o.KeepClear; k.Given {
		printable := c.plan.paper().Rect().Inset(float64(k.Left), float64(k.Tail), float64(k.Right), float64(k.Head))
		if !e.panel().IsWithin(printable, 0) {
			if dark, found := findDark(want, c.plan.paper(), e.panel(), lostDark); found {
				inverted := inverse(e.printed)
				c.reportLost(e, inverted.Bounds(dark), inverted.Bounds(printable), "falls into the edge that the printer cannot reach")
			}
		}
	}
	kept := c.placing.rectLeft(e.Place)
	if o.CutOverhang && c.placing.trim == (trim{}) || e.stands.Bounds(e.Box).IsWithin(kept, lostLeast) {
		return nil
	}
	picture, err := c.drawing.Gray(ctx, e.Page, c.DPI)
	if err != nil {
		return err
	}
	dark, found := findDark(picture, c.source.Pages()[e.Page-1].Size, e.Box, lostDark)
	if !found {
		return nil
	}
	ink := e.stands.Bounds(dark)
	if !o.CutOverhang {
		c.reportLost(e, ink, e.Size.Rect(), "lies beyond the leaf")
	}
	if kept != e.Size.Rect() {
		c.reportLost(e, ink.Common(e.Size.Rect()), kept, "is cut off when the leaf is trimmed")
	}
	return nil
}

// reportLost reports what of the print on a page lies beyond a rectangle, both on
// the page as it is read.
func (c *checker) reportLost(e *expectation, ink, within geom.Rect, how string) {
	var edges []string
	worst := 0.0
	for _, edge := range []struct {
		name string
		by   float64
	}{
		{"head", ink.Y1 - within.Y1}, {"tail", within.Y0 - ink.Y0},
		{"left", within.X0 - ink.X0}, {"right", ink.X1 - within.X1},
	} {
		if edge.by >= lostLeast {
			edges = append(edges, edge.name)
			worst = max(worst, edge.by)
		}
	}
	if len(edges) > 0 {
		c.report(e, Lost, "%.1f mm of its print at the %s %s", worst, strings.Join(edges, " and "), how)
	}
}
