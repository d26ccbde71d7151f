package options

import (
	"fmt"
	"slices"
	"strings"

	"github.com/jeandeaual/go-locale"

	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
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

// Chosen is a paper, and why it was chosen.
type Chosen struct {
	reorder.Paper
	Own     profiles.Paper // the paper of the person's own that it is; zero: it is known by its size alone
	Because string
}

// Choose is the paper that was asked for, by its size or as one of the person's own, else the office
// paper of the region.
func (r Region) Choose(own profiles.Store, asked string) (c Chosen, err error) {
	c.Because = "as you chose"
	if asked == "" {
		asked, c.Because = r.paper()
	}
	if c.Paper, err = reorder.ParsePaper(asked); err == nil {
		return c, nil
	}
	unknown := err
	mine, ok, err := own.LookUpPaper(asked)
	switch {
	case err != nil:
		return c, err
	case ok:
		c.Own, c.Because = mine, "your paper "+mine.Name
		c.Paper, err = mine.Stock()
		return c, err
	}
	if names, err := own.Papers(); err == nil && len(names) > 0 {
		return c, refusal.Plan.New("%w", unknown).Advise("%s; your own are %s", refusal.Hint(unknown), strings.Join(names, ", "))
	}
	return c, unknown
}

// takePaper takes what a paper of one's own knows and nobody said otherwise.
func (o *Options) takePaper(own profiles.Paper) {
	if o.Caliper == 0 && o.Weight == (reorder.Weight{}) {
		o.Caliper = Length(own.Caliper)
	}
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
