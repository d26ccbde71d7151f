package plan

import (
	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// assumedMargin is the least edge in mm that marks keep clear of: most printers
// cannot reach about 1/6 in of it (common practice, no source).
const assumedMargin = 4.5

// marking is where the marks of the book stand. What is written along the
// folds is known only when the runs are.
func (d *Draft) marking() reorder.Marking {
	o := d.Options
	m := reorder.Marking{
		Folds: o.Marks.Fold, Cuts: o.Marks.Cut, Steps: o.Marks.Collation, Corners: o.Marks.Corners,
		Signing: o.Marks.Signing, Trim: d.Trim, Creep: o.CreepIn(d.Book), Margin: assumedMargin, Taken: d.NameEnd(),
	}
	if k := o.KeepClear; k.Given {
		m.CornerMargin = max(float64(k.Head), float64(k.Tail), float64(k.Left), float64(k.Right))
		m.Margin = max(assumedMargin, m.CornerMargin)
	}
	m.Volumes = d.Volumes
	if o.Marks.Stations && d.Structure.Sewn != binding.Side {
		m.Stations = d.stations()
	}
	return m
}
