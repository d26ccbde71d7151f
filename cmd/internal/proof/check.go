package proof

import (
	"context"
	"errors"
	"fmt"
	"image"
	"slices"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// checker compares a print with its source.
type checker struct {
	*Print
	Options
	source   *survey.Source
	drawing  *render.Document // of the source
	files    map[*File]*render.Document
	workers  int // pictures drawn at once
	placing  placing
	expected []*expectation // one for each place
}

// unit is a page of a print file and the places on it.
type unit struct {
	file   *File
	page   int
	places []*expectation
}

// units groups the places by the pages that print them; places on which
// nothing is printed make a unit without a file.
func (c *checker) units() []*unit {
	type key struct {
		file *File
		page int
	}
	at := map[key]*unit{}
	var out []*unit
	for _, e := range c.expected {
		k := key{e.from.File, e.from.Page}
		if at[k] == nil {
			at[k] = &unit{file: k.file, page: k.page}
			out = append(out, at[k])
		}
		at[k].places = append(at[k].places, e)
	}
	return out
}

// run compares all units, side by side on the renderer's workers, and then
// looks closer at what is wrong.
func (c *checker) run(ctx context.Context) error {
	units := c.units()
	c.Progress.Start("proof of "+c.plan.Source.File, len(units))
	defer c.Progress.End()
	err := c.each(ctx, units, func(ctx context.Context, u *unit) error {
		defer c.Progress.Step(1)
		return c.compare(ctx, u)
	}, c.skip)
	wrong := slices.DeleteFunc(slices.Clone(units), func(u *unit) bool {
		return !slices.ContainsFunc(u.places, func(e *expectation) bool { return e.wrong })
	})
	if err != nil || len(wrong) == 0 {
		return err
	}
	unknown := func(*unit, *render.Error) {} // what cannot be drawn cannot be known elsewhere
	if err := c.each(ctx, units, c.glance, unknown); err != nil {
		return err
	}
	return c.each(ctx, wrong, c.explain, c.reportDiffering)
}

// glance draws the pages of a unit that have not been drawn so far, so that
// they are known should they stand elsewhere.
func (c *checker) glance(ctx context.Context, u *unit) error {
	for _, e := range u.places {
		if e.Page == 0 || e.drawn {
			continue
		}
		alone := render.Placed{Page: e.Page, Matrix: e.stands, Clip: e.Size.Rect().Common(e.stands.Bounds(e.Seen))}
		picture, err := c.drawing.Compose(ctx, e.Size, c.DPI, []render.Placed{alone})
		if _, ok := errors.AsType[*render.Error](err); ok && ctx.Err() == nil {
			continue // then it cannot be known
		}
		if err != nil {
			return err
		}
		e.see(picture, canvas{e.Size, picture.Rect.Size()}, geom.Identity)
	}
	return nil
}

// each does something with every unit. What the renderer refuses of a single
// page ends nothing.
func (c *checker) each(ctx context.Context, units []*unit, do func(context.Context, *unit) error, refused func(*unit, *render.Error)) error {
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(max(1, c.workers))
	for _, u := range units {
		group.Go(func() error {
			err := do(ctx, u)
			if drawing, ok := errors.AsType[*render.Error](err); ok && ctx.Err() == nil {
				refused(u, drawing)
				return nil
			}
			return err
		})
	}
	return group.Wait()
}

// skip notes that a unit could not be compared. The file is named only if it is
// one of the print files: pages are the source's.
func (c *checker) skip(u *unit, why *render.Error) {
	reason := why.Error()
	if why.Page > 0 && why.File == c.source.Path() { // the renderer's copy of several files has the name of the first
		reason = fmt.Sprintf("page %d %s", why.Page, why.Why())
	}
	for _, e := range u.places {
		e.unseen = fmt.Sprintf("%s could not be compared: %s", u.description(), reason)
	}
}

// description names the source pages of a unit, or its page of the file.
func (u *unit) description() string {
	var pages []int
	for _, e := range u.places {
		if e.Page != 0 {
			pages = append(pages, e.Page)
		}
	}
	if len(pages) == 0 {
		return fmt.Sprintf("%s, page %d", u.file.Name, u.page)
	}
	return reorder.PagesText(pages)
}

// canvas is that of the pictures that are compared.
func (c *checker) canvas() canvas { return c.canvasAt(c.DPI) }

func (c *checker) canvasAt(dpi float64) canvas {
	return canvas{c.plan.paper(), Pixels(c.plan.paper(), dpi)}
}

// drawPrint draws the page of a unit as it lies in its file; a unit without a file
// is white.
func (c *checker) drawPrint(ctx context.Context, u *unit) (*image.Gray, error) {
	if u.file == nil {
		return White(c.plan.paper(), c.DPI), nil
	}
	return c.files[u.file].Gray(ctx, u.page, c.DPI)
}

// drawWanted draws what should stand on the page of a unit.
func (c *checker) drawWanted(ctx context.Context, u *unit) (*image.Gray, error) {
	var placed []render.Placed
	if u.file != nil {
		for _, e := range u.places {
			if e.Page != 0 {
				placed = append(placed, c.placedPage(e, e.Shown, e.stands))
			}
		}
	}
	return c.compose(ctx, placed, c.DPI)
}

func (c *checker) compose(ctx context.Context, placed []render.Placed, dpi float64) (*image.Gray, error) {
	if len(placed) == 0 {
		return White(c.plan.paper(), dpi), nil
	}
	return c.drawing.Compose(ctx, c.plan.paper(), dpi, placed)
}

// placedPage is what of a source page would show at a place if it stood there in a
// certain way.
func (c *checker) placedPage(at *expectation, s survey.Shown, stands geom.Matrix) render.Placed {
	m := stands.Then(at.printed)
	return render.Placed{Page: s.Page, Matrix: m, Clip: at.panel().Common(m.Bounds(s.Seen))}
}

// compare draws a unit twice, as it is and as it should be, and marks the places at
// which the two differ.
func (c *checker) compare(ctx context.Context, u *unit) error {
	if u.file == nil {
		for _, e := range u.places {
			e.wrong = e.Page != 0
		}
		return nil
	}
	// The source first: if one of its pages cannot be drawn, it is named.
	want, err := c.drawWanted(ctx, u)
	if err != nil {
		return err
	}
	got, err := c.drawPrint(ctx, u)
	if err != nil {
		return err
	}
	for _, e := range u.places {
		if e.wrong = got.Bounds() != want.Bounds(); e.wrong {
			continue // not of the paper's size, which is said elsewhere too
		}
		if e.number != "" {
			if err := c.checkNumber(ctx, u, e); err != nil {
				return err
			}
		}
		if e.Page != 0 {
			e.see(want, c.canvas(), e.printed)
			if err := c.checkLoss(ctx, e, want); err != nil {
				return err
			}
		}
		e.difference = c.difference(e, got, want)
		e.wrong = !(e.difference.Mean <= mostMean && e.difference.Worst <= mostWorst)
	}
	return nil
}

// difference compares the part of two pictures that a place takes. Where the
// job's own marks stand, got is made like want.
func (c *checker) difference(e *expectation, got, want *image.Gray) render.Difference {
	on := c.canvas()
	for _, r := range c.markRects(e) {
		overlook(got, want, on.rect(e.printed.Bounds(r)))
	}
	r := on.rect(e.panel())
	return render.Compare(cropPicture(got, r), cropPicture(want, r))
}

// markRects is where on the page of a place, as it is read, marks of the job may stand.
func (c *checker) markRects(e *expectation) []geom.Rect {
	o := c.plan.Options
	marks := o.Marks
	marks.Given = false
	var numbers []geom.Rect
	if e.number != "" {
		numbers = append(numbers, c.numberRect(e))
	}
	if o.NoSideNames && marks == (options.Marks{}) {
		return numbers
	}
	whole := e.Size.Rect()
	kept := whole
	if c.placing.trim != (trim{}) {
		kept = c.placing.rectLeft(e.Place)
	}
	kept = kept.Common(whole.Inset(markedAtEdges, markedAtEdges, markedAtEdges, markedAtEdges))
	atSpine := markedAtSpine
	if !c.isSewn() {
		atSpine = markedBeside
	}
	kept = kept.Common(inset(whole, spine(o.Bind, e.Recto), atSpine, 0, trim{}))
	return append(numbers,
		geom.Rect{X0: 0, Y0: 0, X1: kept.X0, Y1: whole.Y1},
		geom.Rect{X0: kept.X1, Y0: 0, X1: whole.X1, Y1: whole.Y1},
		geom.Rect{X0: 0, Y0: 0, X1: whole.X1, Y1: kept.Y0},
		geom.Rect{X0: 0, Y0: kept.Y1, X1: whole.X1, Y1: whole.Y1})
}

// report notes what is wrong at a place.
func (c *checker) report(e *expectation, kind Kind, format string, a ...any) {
	f := Fault{Kind: kind, Page: e.Page, Place: e.Place, Sheet: c.Sheets[e.Sheet].Number, What: fmt.Sprintf(format, a...)}
	if e.from.File != nil {
		f.File = e.from.File.Name
	}
	if e.fault != nil {
		f.What = e.fault.What + "; " + f.What
		f.Kind = e.fault.Kind
	}
	e.fault = &f
}

func (c *checker) makeResult() Result {
	out := Result{Pages: len(c.expected), Faults: c.faults}
	for _, e := range c.expected {
		switch {
		case e.fault != nil:
			out.Faults = append(out.Faults, *e.fault)
		case e.unseen != "":
			out.Why = append(out.Why, e.unseen)
		}
		if !e.wrong {
			out.Mean, out.Worst = max(out.Mean, e.difference.Mean), max(out.Worst, e.difference.Worst)
		}
	}
	out.Unseen = len(out.Why)
	slices.Sort(out.Why)
	out.Why = slices.Compact(out.Why)
	return out
}
