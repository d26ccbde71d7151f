package paper

import "foldwright/reorder"

// lay is how a body lies on the table, seen from above: where its origin is
// (mm) and along which ways its own axes run (unit lengths). A body whose front
// looks down is seen through its back, so its axes are a mirror image.
type lay struct{ origin, x, y reorder.Point }

var (
	asIs          = lay{x: reorder.Point{X: 1}, y: reorder.Point{Y: 1}}
	quarterTurn   = lay{x: reorder.Point{Y: 1}, y: reorder.Point{X: -1}} // counter-clockwise about the origin
	overSideways  = lay{x: reorder.Point{X: -1}, y: reorder.Point{Y: 1}} // over about the line x = 0
	overEndForEnd = lay{x: reorder.Point{X: 1}, y: reorder.Point{Y: -1}} // over about the line y = 0
)

func (l lay) point(p reorder.Point) reorder.Point {
	d := l.direction(p)
	return reorder.Point{X: l.origin.X + d.X, Y: l.origin.Y + d.Y}
}

func (l lay) direction(d reorder.Point) reorder.Point {
	return reorder.Point{X: d.X*l.x.X + d.Y*l.y.X, Y: d.X*l.x.Y + d.Y*l.y.Y}
}

// back is the point of the body that lies at q on the table.
func (l lay) back(q reorder.Point) reorder.Point {
	d := reorder.Point{X: q.X - l.origin.X, Y: q.Y - l.origin.Y}
	return reorder.Point{X: d.X*l.x.X + d.Y*l.x.Y, Y: d.X*l.y.X + d.Y*l.y.Y}
}

// moved is how the body lies after a motion of the table's frame.
func (l lay) moved(m lay) lay {
	return lay{m.point(l.origin), m.direction(l.x), m.direction(l.y)}
}

func (l lay) shifted(x, y float64) lay {
	l.origin.X += x
	l.origin.Y += y
	return l
}

// frontUp tells whether the body's front looks up.
func (l lay) frontUp() bool { return l.x.X*l.y.Y-l.x.Y*l.y.X > 0 }

// between is the upright rectangle with two points as opposite corners.
func between(p, q reorder.Point) reorder.Rect {
	return reorder.Rect{X0: min(p.X, q.X), Y0: min(p.Y, q.Y), X1: max(p.X, q.X), Y1: max(p.Y, q.Y)}
}
