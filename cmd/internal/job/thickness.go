package job

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// Leaves between these bounds, in mm, can be folded and sewn.
const (
	thinnestLeaf = 0.02
	thickestLeaf = 1.0
)

// checkPaper refuses what no paper is.
func (o Options) checkPaper() error {
	if o.Caliper != 0 && !(o.Caliper >= thinnestLeaf && o.Caliper <= thickestLeaf) {
		return &UseError{
			fmt.Sprintf("--caliper is the thickness of one leaf, between %g and %g mm", thinnestLeaf, thickestLeaf),
			"measure 40 leaves under light pressure and divide by 40",
		}
	}
	if o.CreepMeasured < 0 || o.CreepMeasured > 20 {
		return &UseError{
			"--creep-measured lies between 0 and 20 mm",
			"fold a gathering of this paper and measure how far its innermost leaf stands out beyond the outermost",
		}
	}
	return nil
}

// Caliper is the thickness of a leaf and where it is known from. A measured
// one comes before the estimate from a weight, and nothing given is office paper.
func (o Options) caliper() (c reorder.Caliper, of string) {
	switch {
	case o.Caliper > 0:
		return reorder.MeasuredCaliper(float64(o.Caliper)), reorder.Millimetres(float64(o.Caliper)) + " mm"
	case o.Weight.Pounds > 0:
		return o.Weight.Caliper(), fmt.Sprintf("%s (%.0f g/m2)", o.Weight, o.Weight.GSM)
	case o.Weight.GSM > 0:
		return o.Weight.Caliper(), reorder.Millimetres(o.Weight.GSM) + " g/m2"
	}
	return reorder.OfficeCaliper, "office paper"
}

// Thickness says how thick the printed leaves are together, which is an
// estimate unless the paper was measured.
func (d *Draft) Thickness() string {
	leaves := 0
	for _, g := range d.Gatherings() {
		leaves += len(g.Pages) / 2
	}
	caliper, of := d.Options.caliper()
	all := caliper.Times(leaves * d.Book.Form.LeafThicknesses())
	if d.Book.Form.LeafThicknesses() == 2 {
		of += ", folded double"
	}
	if u := d.Options.Units; u == binding.Inches {
		paper := of
		if d.Options.Caliper > 0 {
			paper = measuredPaper
		}
		block := u.Length(binding.Range{Least: all.Least, Most: all.Most})
		return fmt.Sprintf("%s, %s each: %s, without the thread", leavesText(leaves)+" of "+paper, u.Length(binding.Range{Least: caliper.Least, Most: caliper.Most}), block)
	}
	if caliper.Exact() {
		return fmt.Sprintf("%s of %s, %.1f mm, without the thread", leavesText(leaves), of, all.Usual)
	}
	return fmt.Sprintf("%s of %s, %.2f to %.2f mm each: about %.1f mm (%.1f to %.1f), without the thread",
		leavesText(leaves), of, caliper.Least, caliper.Most, all.Usual, all.Least, all.Most)
}

func leavesText(n int) string {
	if n == 1 {
		return "1 leaf"
	}
	return fmt.Sprintf("%d leaves", n)
}

// creep is by how much each thickness of paper moves the pages of the next
// leaf: nothing unless a person has told of the paper.
func (o Options) creep(book reorder.Book) reorder.Creep {
	switch {
	case o.CreepMeasured > 0:
		return reorder.MeasuredCreep(float64(o.CreepMeasured), book.Depth())
	case o.Caliper > 0 || o.Weight.GSM > 0:
		caliper, _ := o.caliper()
		return reorder.PinchedFold.Creep(caliper.Usual)
	}
	return 0
}

// Creep says how far the innermost leaf stands out, and what was done about it.
func (d *Draft) Creep() string {
	depth := d.Book.Depth()
	if depth == 0 {
		return "none, no leaf lies within another"
	}
	applied := d.Options.creep(d.Book)
	if applied == 0 {
		caliper, of := d.Options.caliper()
		total := reorder.PinchedFold.Creep(caliper.Usual).At(depth)
		text := fmt.Sprintf("about %.1f mm in all with %s", total, of)
		if total < reorder.WorthMoving {
			return text + ", not worth moving pages for"
		}
		return text + "; --caliper or --weight moves the pages of inner leaves towards the spine"
	}
	total := applied.At(depth)
	text := fmt.Sprintf("%s mm in all", twoDecimals(total))
	if d.Options.CreepMeasured > 0 {
		text += " as measured"
	} else {
		caliper, of := d.Options.caliper()
		text += fmt.Sprintf(" with leaves of %s", of)
		if !caliper.Exact() {
			text = "about " + text
		}
		text += fmt.Sprintf(" (%s where the fold is flat at its back)", twoDecimals(reorder.SquareFold.Creep(caliper.Usual).At(depth)))
	}
	text += "; inner pages are moved towards the spine"
	if total < reorder.WorthMoving {
		text += fmt.Sprintf(", though below %g mm it is not worth it", reorder.WorthMoving)
	}
	return text
}

func twoDecimals(mm float64) string { return fmt.Sprintf("%.2f", mm) }
