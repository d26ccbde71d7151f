package plan

import (
	"context"
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/refusal"
)

// Insert is leaves of other paper that are laid into the book, and counted in its thickness: plates, or end-leaves.
// What is printed on them is a job of its own, whose folder lies in the book's.
type Insert struct {
	Name    string          `json:"name"`
	Printed bool            `json:"printed"` // into the folder of that name
	How     reorder.Attach  `json:"how,omitzero"`
	Ends    int             `json:"end-leaves,omitempty"` // folded sheets at each end of each volume; else they are plates
	Sewn    bool            `json:"sewn,omitempty"`       // end-leaves
	Laid    []options.Laid  `json:"laid,omitempty"`
	Stubs   bool            `json:"stubs,omitempty"` // the second leaves of folded pairs are cut down
	FoldOut reorder.FoldOut `json:"fold-out,omitzero"`
	Paper   string          `json:"paper,omitempty"` // PWG 5101.1; empty: any
	Printer string          `json:"printer,omitempty"`
	Source  *Source         `json:"source,omitempty"`
	Caliper options.Length  `json:"caliper-mm,omitzero"` // unknown: that of office paper

	file string // what is printed; empty: nothing
	job  *Draft // that prints it; nil in a plan that was made again
}

// Job is the draft that prints the leaves; nil if nothing is printed on them, or if the book was planned once more.
func (i Insert) Job() *Draft { return i.job }

// Thicknesses is how many thicknesses of its paper lie in a volume.
func (i Insert) Thicknesses(v reorder.Volume) int {
	n := 4 * i.Ends // two leaves of each folded sheet, at both ends
	for _, l := range i.Laid {
		if l.Gathering < v.First || l.Gathering > v.Last() {
			continue
		}
		n += len(i.FoldOut.Folds) + 1
		if i.How == reorder.Wrapped && !i.Stubs {
			n++
		}
	}
	return n
}

// layInserts finds the places of what is laid in.
func (d *Draft) layInserts() error {
	o := d.Options
	if d.Inserts = nil; o.OnlyGathering > 0 {
		return nil // of a trial
	}
	for k, in := range o.Inserts {
		out := Insert{
			Name: fmt.Sprintf("plates-%02d", k+1), How: in.How, Paper: in.Paper, Printer: in.Printer, Caliper: in.Caliper, Printed: true, file: in.Pages,
		}
		if len(o.Inserts) > 99 {
			return refusal.Plan.New("%d inserts are too many", len(o.Inserts)).Advise("plates of one paper can be one insert: after=12+32+48 and a PDF that holds them all")
		}
		for _, page := range in.After {
			slot, err := d.slotAfter(page)
			if err == nil {
				err = slot.Check(in.How)
			}
			if err != nil {
				return refusal.Plan.New("after=%d: %w", page, err)
			}
			out.Laid = append(out.Laid, options.Laid{After: page, Slot: slot})
		}
		if mm := float64(in.FoldOut.MM); mm > 0 {
			leaf := o.Bind.TurnToSide(d.Trim.Of(d.Book.PanelSize(), o.Bind)).W
			var err error
			if out.FoldOut, err = reorder.NewFoldOut(leaf, mm); err != nil {
				widest := fmt.Sprintf("fold-out=%.0fmm", reorder.WidestFoldOut(leaf)-0.5)
				return refusal.Plan.New("%w", err).Advise("%s reduces the page to the widest that does", widest)
			}
		}
		d.Inserts = append(d.Inserts, out)
	}
	if e := o.EndLeaves; e.Sheets > 0 {
		d.Inserts = append(d.Inserts, Insert{
			Name: "end-leaves", Ends: e.Sheets, Sewn: e.Sewn, Paper: e.Paper, Printer: e.Printer, Caliper: e.Caliper, Printed: e.Pages != "", file: e.Pages,
		})
	}
	return nil
}

// slotAfter is the place after a page of the source; of one that stands in the book several times, after the last time.
func (d *Draft) slotAfter(page int) (reorder.Slot, error) {
	var pages []int
	for _, g := range d.Book.Gatherings {
		pages = append(pages, d.eachSourcePage(g.Pages)...)
	}
	at := -1
	for i, p := range pages {
		switch {
		case page == 0 && p != 0 && at < 0:
			at = i
		case page != 0 && p == page:
			at = i + 1
		}
	}
	if at < 0 {
		return reorder.Slot{}, refusal.Plan.New("that page is not in the book")
	}
	if at%2 == 1 && at < len(pages) && page != 0 {
		var words []string
		if at > 1 && pages[at-2] != 0 {
			words = append(words, fmt.Sprintf("after=%d", pages[at-2]))
		}
		if pages[at] != 0 {
			words = append(words, fmt.Sprintf("after=%d", pages[at]))
		}
		err := refusal.Plan.New("the page is a recto, and on the back of its leaf is %s", sideName(pages[at]))
		if len(words) > 0 {
			err = err.Advise("take %s", refusal.List(words, "or"))
		}
		return reorder.Slot{}, err
	}
	return d.Book.SlotAfter(at)
}

// eachSourcePage is the source page of each page of the book; 0 for one of a blank gathering.
func (d *Draft) eachSourcePage(pages []int) []int {
	out := make([]int, len(pages))
	for i, p := range pages {
		if source := d.SourcePage(p); !d.IsRuled(source) {
			out[i] = source
		}
	}
	return out
}

func sideName(page int) string {
	if page == 0 {
		return "a blank"
	}
	return fmt.Sprintf("page %d", page)
}

// widenFoldOuts says in millimetres how wide the fold-outs are that shall be as wide as their page: no higher than the leaf.
func widenFoldOuts(ctx context.Context, r options.Resolved, s *survey.Source) (options.Resolved, error) {
	for i, in := range r.Options.Inserts {
		if !in.FoldOut.OfPage {
			continue
		}
		other, err := s.Beside(ctx, in.Pages)
		if err != nil {
			return r, err
		}
		leaf, trim, err := r.Options.LeafOf(r.Paper.Size)
		if err != nil {
			return r, err
		}
		bind := r.Options.Bind
		size, high := bind.TurnToSide(other.Pages()[0].Size), bind.TurnToSide(trim.Of(leaf, bind)).H
		r.Options.Inserts = slices.Clone(r.Options.Inserts)
		r.Options.Inserts[i].FoldOut = options.Width{MM: options.Length(size.W * min(1, high/size.H))}
	}
	return r, nil
}

// draftInserts plans the jobs that print what is laid in.
func (d *Draft) draftInserts(ctx context.Context) error {
	for i := range d.Inserts {
		in := &d.Inserts[i]
		if in.file == "" {
			continue
		}
		if err := d.draftInsert(ctx, in); err != nil {
			return refusal.Of(err).New("%s: %w", in.Name, err)
		}
	}
	return nil
}

func (d *Draft) draftInsert(ctx context.Context, in *Insert) error {
	source, err := d.Source.Beside(ctx, in.file)
	if err != nil {
		return err
	}
	leaf := d.Options.Bind.TurnToSide(d.Trim.Of(d.Book.PanelSize(), d.Options.Bind))
	p := options.Plates{Name: in.Name, Book: d.Name, How: in.How, Ends: in.Ends, Sewn: in.Sewn, FoldOut: in.FoldOut, Laid: in.Laid}
	if in.FoldOut.Width > 0 {
		leaf.W = in.FoldOut.Width
	}
	leaf = d.Options.Bind.TurnToSide(leaf)
	p.Leaf = options.Dimensions{W: options.Length(leaf.W), H: options.Length(leaf.H)}
	if in.Ends > 0 {
		err = p.ShareEnds(source.Name, len(source.Pages()), len(d.Volumes))
	} else {
		err = p.SharePages(source.Name, len(source.Pages()), len(in.Laid))
	}
	if err != nil {
		return err
	}
	in.Stubs = p.HasStub()
	r, err := d.PlatesJob(p, in.Paper, in.Printer, in.Caliper)
	if err != nil {
		return err
	}
	if in.job, err = Sketch(ctx, r, source); err != nil {
		return err
	}
	in.Source = new(in.job.PlanSource())
	return nil
}

// completeInserts adds the warnings that sketches of the jobs lack, and says them with the book's.
func (d *Draft) completeInserts(ctx context.Context) error {
	d.Inserts = slices.Clone(d.Inserts)
	for i, in := range d.Inserts {
		if in.job == nil {
			continue
		}
		job, err := in.job.Complete(ctx)
		if err != nil {
			return err
		}
		d.Inserts[i].job = job
		for _, w := range job.BookWarnings() {
			d.say("%s: %s", in.Name, w)
		}
	}
	return nil
}

// others is the leaves of other paper in a volume.
func others(inserts []Insert, v reorder.Volume) (out []binding.Other) {
	for _, in := range inserts {
		caliper, of := options.Options{Caliper: in.Caliper}.LeafCaliper()
		if n := in.Thicknesses(v); n > 0 {
			out = append(out, binding.Other{Name: in.Name, Leaves: n, Caliper: caliper, CaliperOf: of})
		}
	}
	return out
}

// foldOutMarks is the ticks at the folds of fold-outs.
func (d *Draft) foldOutMarks() {
	if len(d.Options.Plates.FoldOut.Folds) == 0 {
		return
	}
	for _, s := range d.Book.Sheets() {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			for _, p := range s.Side(side) {
				if p.Page != 0 || side == reorder.Front {
					d.Marks[s.Number] = append(d.Marks[s.Number], d.Options.Plates.FoldOut.Ticks(p, side, d.Trim)...)
				}
			}
		}
	}
}

// HowText says in a word or two how the leaves are held.
func (i Insert) HowText() string {
	switch {
	case i.Ends > 0 && i.Sewn:
		return "sewn"
	case i.Ends > 0:
		return "tipped"
	case i.FoldOut.Folds != nil:
		return fmt.Sprintf("guard, %s", reorder.Count(len(i.FoldOut.Folds), "fold"))
	}
	return i.How.String()
}

// PaperText is what people call the paper.
func (i Insert) PaperText() string {
	p, err := reorder.ParsePaper(i.Paper)
	if err != nil {
		return "other paper"
	}
	return p.Word()
}

// Places says where the leaves lie, one line for each.
func (i Insert) Places() (out []string) {
	if i.Ends > 0 {
		return []string{fmt.Sprintf("%s before the first gathering and after the last", reorder.Count(i.Ends, "folded sheet"))}
	}
	for _, l := range i.Laid {
		out = append(out, l.Text(i.How))
	}
	return out
}
