package options

import (
	"fmt"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"slices"
	"strings"

	"github.com/jeandeaual/go-locale"
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

// Region is the region for which the computer is set up, an ISO 3166 code
// such as GB, or empty if it does not say.
type Region string

// SystemRegion asks the operating system.
func SystemRegion() Region {
	code, err := locale.GetRegion()
	if err != nil {
		return ""
	}
	return Region(strings.ToUpper(code))
}

// letterRegions are the regions whose office paper is letter; everywhere else
// it is A4 (Unicode CLDR, supplemental data, measurementData, paperSize: from memory).
var letterRegions = []Region{"BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"}

// Choose is the paper that was asked for, else the office paper of the region, and why it was chosen.
func (r Region) Choose(asked string) (paper reorder.Paper, because string, err error) {
	because = "as you chose"
	if asked == "" {
		asked, because = r.paper()
	}
	paper, err = reorder.ParsePaper(asked)
	return paper, because, err
}

// paper is the office paper of the region and why it was chosen.
func (r Region) paper() (paper, because string) {
	switch {
	case r == "":
		return "a4", "assumed, because this computer names no region"
	case slices.Contains(letterRegions, r):
		return "letter", fmt.Sprintf("the office paper of your region, %s", r)
	}
	return "a4", fmt.Sprintf("the office paper of your region, %s", r)
}
