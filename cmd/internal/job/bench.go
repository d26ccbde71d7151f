package job

import (
	"fmt"

	"foldwright/reorder"
	"foldwright/reorder/binding"
)

// Bench is what the plan tells a binder: a text block for each volume. A plan
// whose options give no leaf is refused with a [*PlanError]; folder names it.
func (p Plan) Bench(folder string) ([]binding.Book, error) {
	leaf, err := p.Options.form().PanelSize(reorder.Size{W: p.Paper.WidthMM, H: p.Paper.HeightMM})
	if err != nil {
		return nil, &PlanError{folder, err}
	}
	trim, err := p.Options.trim(leaf)
	if err != nil {
		return nil, &PlanError{folder, err}
	}
	volumes := p.Volumes
	if len(volumes) == 0 {
		volumes = []PlanVolume{{FirstGathering: 1, Gatherings: len(p.Gatherings), Sheets: p.Sheets}}
		if len(p.Gatherings) > 0 {
			volumes[0].FirstGathering = p.Gatherings[0].Number // another one where only a part is printed
		}
	}
	var out []binding.Book
	for _, v := range volumes {
		leaves := 0
		for _, g := range p.Gatherings {
			if g.Number >= v.FirstGathering && g.Number < v.FirstGathering+v.Gatherings {
				leaves += (len(g.Pages) + 1) / 2
			}
		}
		out = append(out, textBlock(p.Options, trim, p.Bind.Beside(leaf), p.Options.form().LeafThicknesses(), leaves, v.Gatherings, v.Sheets))
	}
	return out, nil
}

// textBlock is a text block of untrimmed leaves with the spine at the side.
func textBlock(o Options, trim reorder.Trim, leaf reorder.Size, thicknesses, leaves, gatherings, sheets int) binding.Book {
	b := binding.Book{
		Leaf: reorder.Size{W: leaf.W - trim.ForeEdge, H: leaf.H - trim.Head - trim.Tail}, Trim: trim,
		Leaves: leaves, Thicknesses: thicknesses, Gatherings: gatherings, Sheets: sheets,
	}
	b.Caliper, b.CaliperOf = o.caliper()
	b.GSM, b.GSMOf = officeWeight, "office paper"
	switch {
	case o.Weight.GSM > 0:
		b.GSM, b.GSMOf = binding.Exactly(o.Weight.GSM), o.Weight.String()
	case o.Caliper > 0:
		b.GSM = binding.Range{} // its thickness tells little of its weight
	}
	return b
}

// officeWeight is that of the paper that lies in most printers, in g/m2
// (common practice, no source).
var officeWeight = binding.Range{Least: 75, Most: 90}

// Swelling says how much sewing swells the back and, where it is more than the
// structure's back bears, what can be done; empty where nothing is sewn.
func (d *Draft) Swelling(s binding.Structure) (text, remedy string) {
	gatherings, leaves := len(d.Gatherings()), 0
	if gatherings < 2 || d.Book.Form.Fold.Scheme().Held != reorder.Sewn {
		return "", ""
	}
	for _, g := range d.Gatherings() {
		leaves += len(g.Pages) / 2
	}
	o := d.Options
	panel := d.Book.Form.Bind.Beside(d.Book.PanelSize())
	b := textBlock(o, d.Trim, panel, d.Book.Form.LeafThicknesses(), leaves, gatherings, len(d.Printed))
	sheet, err := binding.Measure(b, binding.Options{Structure: s})
	if err != nil || sheet.Swelling == (binding.Range{}) {
		return "", ""
	}
	share := sheet.Swelling.Over(sheet.Block).Times(100)
	text = fmt.Sprintf("about %.1f to %.1f mm at the back when sewn and pressed, %.0f to %.0f percent of the block (%s, thread of %s mm)",
		sheet.Swelling.Least, sheet.Swelling.Most, share.Least, share.Most, s.Title, s.Thread)
	return text, binding.SwellingAdvice(sheet.Swelling.Over(sheet.Block), s)
}
