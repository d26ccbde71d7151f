package options

import (
	"fmt"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// LeafCaliper is the thickness of a leaf and where it is known from. A measured
// one comes before the estimate from a weight, and nothing given is office paper.
func (o Options) LeafCaliper() (c reorder.Caliper, of string) {
	switch {
	case o.Caliper > 0:
		return reorder.MeasuredCaliper(float64(o.Caliper)), geom.Millimetres(float64(o.Caliper)) + " mm"
	case o.Weight.Pounds > 0:
		return o.Weight.Caliper(), fmt.Sprintf("%s paper (%.0f g/m2, uncoated)", o.Weight, o.Weight.GSM)
	case o.Weight.GSM > 0:
		return o.Weight.Caliper(), geom.Millimetres(o.Weight.GSM) + " g/m2 paper, uncoated"
	}
	return reorder.OfficeCaliper, "office paper"
}

// CreepIn is by how much each thickness of paper moves the pages of the next
// leaf: nothing unless a person has told of the paper.
func (o Options) CreepIn(book reorder.Book) reorder.Creep {
	switch {
	case o.CreepMeasured > 0:
		return reorder.MeasuredCreep(float64(o.CreepMeasured), book.Depth())
	case o.Caliper > 0 || o.Weight.GSM > 0:
		caliper, _ := o.LeafCaliper()
		return reorder.PinchedFold.Creep(caliper.Usual)
	}
	return 0
}
