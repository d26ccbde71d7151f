package proof

import (
	"context"
	"image"
	"strings"

	"foldwright/reorder"
)

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
	if o.Clip && c.placing.trim == (trim{}) || e.stands.Bounds(e.box).IsWithin(kept, lostLeast) {
		return nil
	}
	picture, err := c.source.drawing.Gray(ctx, e.Page, c.DPI)
	if err != nil {
		return err
	}
	dark, found := findDark(picture, c.source.pages[e.Page-1].Size, e.box, lostDark)
	if !found {
		return nil
	}
	ink := e.stands.Bounds(dark)
	if !o.Clip {
		c.reportLost(e, ink, e.Size.Rect(), "lies beyond the leaf")
	}
	if kept != e.Size.Rect() {
		c.reportLost(e, intersect(ink, e.Size.Rect()), kept, "is cut off when the leaf is trimmed")
	}
	return nil
}

// reportLost reports what of the print on a page lies beyond a rectangle, both on
// the page as it is read.
func (c *checker) reportLost(e *expectation, ink, within reorder.Rect, how string) {
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
