package plan

import (
	"fmt"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
)

// paperText is what a paper is called, or its size if it has no name.
func paperText(p reorder.Paper, u binding.Units) string {
	if word := p.Word(); word != p.Size.String() {
		return word
	}
	return u.WidthByHeight(binding.Exactly(p.Size.W), binding.Exactly(p.Size.H))
}

// usualStructure is the structure of a book of which nobody has said how it is bound.
func (d *Draft) usualStructure() string {
	if d.Book.Form.Fold.Scheme().Held == reorder.Edges {
		return structure.Leaves
	}
	for _, v := range d.Volumes {
		if v.Last() > v.First {
			return structure.Usual
		}
	}
	return structure.Single
}

// measure works out what is known before sewing. A structure that was asked
// for and does not hold the book is refused; of the usual one that is a warning, and nothing is marked.
func (d *Draft) measure() (err error) {
	o, scheme := d.Options, d.Book.Form.Fold.Scheme()
	if scheme.Strip || o.Plates.IsGiven() {
		return nil
	}
	rules := d.Structure
	if rules.Name == "" {
		if rules, err = structure.Find(d.usualStructure()); err != nil {
			return err
		}
	}
	gatherings := lists.Map(d.Book.Gatherings, func(g reorder.Gathering) Gathering { return Gathering{Number: g.Number, Pages: g.Pages} })
	books, err := textBlocks(o, d.Paper, d.Volumes, gatherings, d.Inserts)
	if err != nil {
		return err
	}
	for _, b := range books {
		sheet, err := binding.Measure(b, binding.Options{
			Structure: rules, Units: o.Units, Edges: scheme.Held == reorder.Edges,
			Measured: binding.Measured{Supports: o.Supports, Stations: o.Stations.Mm()},
		})
		if err != nil && (d.Structure.Name != "" || o.Supports > 0 || len(o.Stations) > 0) {
			return err
		}
		if err != nil {
			d.say("the holes to pierce are not marked: %v", err)
			d.Measures = nil
			return nil
		}
		d.Measures = append(d.Measures, sheet)
	}
	d.Structure = rules
	return nil
}

// stations is where the holes are, in mm from the trimmed head; nil where
// nothing is pierced. They are those of every volume.
func (d *Draft) stations() []float64 {
	if len(d.Measures) == 0 {
		return nil
	}
	return d.Measures[0].Stations.Places()
}

// Bench is what the plan tells a binder: a text block for each volume. A plan
// whose options give no leaf is refused; folder names it.
func (p Plan) Bench(folder string) ([]binding.Book, error) {
	volumes := p.Volumes
	if len(volumes) == 0 || p.Options.OnlyGathering > 0 {
		copies := max(1, p.Copies)
		volumes = []reorder.Volume{{First: 1, Gatherings: len(p.Gatherings) / copies, Sheets: p.Sheets / copies}}
		if len(p.Gatherings) > 0 {
			volumes[0].First = p.Gatherings[0].Number // another one where only a part is printed
		}
	}
	books, err := textBlocks(p.Options, p.Paper.Paper, volumes, p.Gatherings, p.Inserts)
	if err != nil {
		return nil, refuse(folder, "%w", err)
	}
	return books, nil
}

// textBlocks is the text block of each volume, its leaves trimmed and with the spine at the side.
func textBlocks(o options.Options, paper reorder.Paper, volumes []reorder.Volume, gatherings []Gathering, inserts []Insert) ([]binding.Book, error) {
	leaf, trim, err := o.LeafOf(paper.Size)
	if err != nil {
		return nil, err
	}
	leaf = o.Bind.TurnToSide(leaf)
	b := binding.Book{
		Leaf: geom.Size{W: leaf.W - trim.ForeEdge, H: leaf.H - trim.Head - trim.Tail}, Trim: trim, Bind: o.Bind,
		Thicknesses: o.Form().LeafThicknesses(), Paper: paperText(paper, o.Units), GSM: officeWeight, GSMOf: "office paper",
		Copies: o.HowOften(),
	}
	b.Caliper, b.CaliperOf = o.LeafCaliper()
	switch {
	case o.Weight.GSM > 0:
		b.GSM, b.GSMOf = binding.Exactly(o.Weight.GSM), o.Weight.String()
	case o.Caliper > 0:
		b.GSM = binding.Range{} // its thickness tells little of its weight
	}
	if o.Caliper > 0 {
		b.CaliperOf = measuredPaper
	}
	var out []binding.Book
	for _, v := range volumes {
		b.Leaves, b.Gatherings, b.Sheets, b.Others = 0, v.Gatherings, v.Sheets, others(inserts, v)
		for _, g := range gatherings {
			if g.Copy <= 1 && g.Number >= v.First && g.Number < v.First+v.Gatherings {
				b.Leaves += (len(g.Pages) + 1) / 2
			}
		}
		out = append(out, b)
	}
	return out, nil
}

// measuredPaper is what paper is called whose thickness was measured.
const measuredPaper = "measured paper"

// officeWeight is that of the paper that lies in most printers, in g/m2
// (common practice, no source).
var officeWeight = binding.Range{Least: 75, Most: 90}

// Swelling says of each volume how much sewing swells the spine and, where it
// is more than the structure's spine can take, what can be done; empty where
// nothing swells.
func (d *Draft) Swelling() (texts, remedies []string) {
	for i, sheet := range d.Measures {
		if sheet.Swelling == (binding.Range{}) || sheet.Book.Gatherings < 2 {
			continue
		}
		of := ""
		if len(d.Measures) > 1 {
			of = fmt.Sprintf("volume %d: ", i+1)
		}
		u := d.Options.Units
		texts = append(texts, fmt.Sprintf("%sabout %s at the spine when sewn and pressed, %s of the block (%s, thread of %s)",
			of, u.Length(sheet.Swelling), binding.PercentText(sheet.Swelling.Over(sheet.Block)), sheet.Structure.Title, u.Length(sheet.Structure.Thread)))
		for _, a := range sheet.Advice {
			remedies = append(remedies, of+a)
		}
	}
	return texts, remedies
}
