package plan

import (
	"context"
	"fmt"
	"slices"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/survey"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Draft is a job of which everything is decided and nothing is written. Nothing
// changes it any more; [Plan] is what plan.json holds of it.
type Draft struct {
	options.Resolved
	*survey.Survey
	Book      reorder.Book // the whole book, also where only a part is printed
	Trim      reorder.Trim
	Structure binding.Structure // rules of how the book is bound; zero: it is neither sewn nor pierced
	Measures  []binding.Sheet   // of each volume, what is known before sewing; none without a structure
	Placement reorder.Placement
	Printed   []reorder.PlacedSheet // the sheets to be printed of one copy, from the top of the finished stack
	Volumes   []reorder.Volume      // at least one
	Runs      []Run
	Handwork  []reorder.Motion       // what the hands do with the printed sheets
	Marks     map[int][]reorder.Mark // by the number of the sheet in the book
	Numbers   []reorder.Number       // running numbers, which are among the marks
	Inserts   []Insert               // leaves of other paper
	Between   []int                  // numbers of the blank gatherings among the book's

	padding int               // blanks that fill the last gathering
	room    reorder.Marking   // for side names beside the marks
	names   names             // what these say
	notes   []phrase.Sentence // what a person should know of the plan
	advice  []phrase.Sentence // what could be done better
}

// New surveys a source and plans a job. The errors are those of [survey.Look],
// what the book, the paper or the structure do not allow, and that of the context.
func New(ctx context.Context, r options.Resolved, s *survey.Source) (*Draft, error) {
	d, err := Sketch(ctx, r, s)
	if err != nil {
		return nil, err
	}
	return d.Complete(ctx)
}

// Sketch is [New] without the warnings and the advice for which pages have to be drawn or plans
// to be tried: everything else is decided.
func Sketch(ctx context.Context, r options.Resolved, s *survey.Source) (*Draft, error) {
	v, err := survey.Look(ctx, s, r.Options)
	if err != nil {
		return nil, err
	}
	if r, err = widenFoldOuts(ctx, r, v.Source); err != nil {
		return nil, err
	}
	d, err := arrange(r, v)
	if err != nil {
		return nil, err
	}
	if err := d.draftInserts(ctx); err != nil {
		return nil, err
	}
	if d.Options.Plates.IsGiven() {
		d.warnPages()
		return d, s.Err()
	}
	if d.Options.Dummy {
		d.say("this is a dummy for scrap paper: it has numbers instead of the pages")
	}
	d.warnBlock()
	d.warnPages()
	d.warnReading()
	for _, run := range d.Runs {
		if run.Split {
			d.say("run %d splits a gathering, which is larger than %s: keep its parts together", run.Number, reorder.Count(d.Options.Run.Most, "sheet"))
			break
		}
	}
	return d, s.Err()
}

// Complete is the draft with the warnings that a sketch lacks.
func (d *Draft) Complete(ctx context.Context) (*Draft, error) {
	whole := *d
	d = &whole
	d.notes, d.advice = slices.Clone(d.notes), slices.Clone(d.advice)
	for _, warn := range []func(context.Context) error{d.adviseLast, d.warnTrim, d.warnInk, d.warnNumbers, d.warnMargins, d.warnContent, d.warnType, d.completeInserts} {
		if err := warn(ctx); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// arrange plans without looking for what there is to warn about.
func arrange(r options.Resolved, v *survey.Survey) (*Draft, error) {
	d := &Draft{Resolved: r, Survey: v, Structure: r.Rules}
	pages, err := d.textBlock()
	if err != nil {
		return nil, err
	}
	if err := d.arrange(pages); err != nil {
		return nil, d.nameAsSource(err)
	}
	return d, nil
}

// arrange arranges the pages, places them and shares the sheets out among runs.
func (d *Draft) arrange(pages []int) (err error) {
	o := d.Options
	form := o.Form()
	sizes := o.SizesFor(len(pages))
	d.padding = padding(len(pages), form, sizes)
	pages = reorder.Fill(pages, len(pages)+d.padding, o.Pad)
	if pages, sizes, err = d.layBetween(pages, sizes); err != nil {
		return err
	}
	if o.OnlyGathering > len(sizes) {
		return refusal.Plan.New("%s: the book has %s", phrase.Set("only-gathering", o.OnlyGathering), reorder.Count(len(sizes), "gathering"))
	}
	stacks, err := o.Stacks(sizes)
	if err != nil {
		return err
	}
	d.Book, err = reorder.Arrange(d.Paper.Size, form, pages, stacks)
	if err != nil {
		return err
	}
	if d.Handwork, err = d.handwork(); err != nil {
		return err
	}
	d.Volumes, err = d.volumes(sizes)
	if err != nil {
		return err
	}
	d.Trim, err = o.TrimOf(d.Book.PanelSize())
	if err != nil {
		return err
	}
	if err := d.layInserts(); err != nil {
		return err
	}
	if err := d.measure(); err != nil {
		return err
	}
	placing := o.Placing()
	placing.Creep, placing.Trim = o.CreepIn(d.Book), d.Trim
	placing.Made = func(page int) bool { return d.IsRuled(d.SourcePage(page)) }
	d.Placement, err = placing.Place(d.Book, func(page int) geom.Size { return d.Shown(page).Box.Size() })
	if err != nil {
		return err
	}
	d.Printed, d.Runs = d.Placement.Sheets, nil
	if g := o.OnlyGathering; g > 0 {
		first := d.Book.Gatherings[g-1].Sheets[0].Number
		n := len(d.Book.Gatherings[g-1].Sheets) // it shares none of them
		d.Printed = d.Printed[first-1 : first-1+n]
		d.Runs = d.runs([][]int{{n}})
	} else {
		d.Runs = d.runs(lists.Map(d.Volumes, d.wholeInRuns))
	}
	d.room = d.marking()
	d.names = d.chooseNames()
	if !d.HasNames() && !o.NoSideNames {
		d.say("the folds are too short for side names beside the marks, so none are printed")
	}
	d.room.Taken = d.nameEnd()
	d.Marks = d.room.Marks(d.Book)
	d.foldOutMarks()
	return d.number()
}

// runs shares the printed gatherings of each volume out among runs, copy after copy, and names
// the files of their passes. A run holds several copies if it holds them whole.
func (d *Draft) runs(byVolume [][]int) []Run {
	var out []Run
	done := 0 // sheets
	add := func(sheets int, split bool) {
		out = append(out, Run{Number: len(out) + 1, First: done + 1, Sheets: sheets, Split: split})
		done += sheets
	}
	copies := d.Options.HowOften()
	if together := d.Options.Run.Most / len(d.Printed); together > 1 && copies > 1 && len(byVolume) == 1 {
		for left := copies; left > 0; left -= together {
			add(min(left, together)*len(d.Printed), false)
		}
		copies = 0
	}
	for range copies {
		for _, sizes := range byVolume {
			for _, r := range d.Options.RunsOf(sizes) {
				add(r.Sheets(), r.Split)
			}
		}
	}
	digits := max(2, len(fmt.Sprint(len(out))))
	for i, run := range out {
		name := fmt.Sprintf("run-%0*d", digits, run.Number)
		if p := d.Options.Plates; p.IsGiven() {
			if name = p.Name + "-" + name; len(out) == 1 {
				name = p.Name
			}
		}
		for _, f := range d.Profile.Files(run.Sheets, d.Book.Form.IsTwoSided() && !d.Options.Plates.OneSided) {
			out[i].Passes = append(out[i].Passes, PassOf(fmt.Sprintf("%s-%s.pdf", name, f.Pass), f))
		}
	}
	return out
}

// Gatherings is the gatherings to be printed.
func (d *Draft) Gatherings() []reorder.Gathering {
	if g := d.Options.OnlyGathering; g > 0 {
		return d.Book.Gatherings[g-1 : g]
	}
	return d.Book.Gatherings
}

// Placed is the pages of a side where they stand in its print file.
func (d *Draft) Placed(run Run, image printer.Image) []pdf.Placed {
	m := d.Correction(image)
	var out []pdf.Placed
	for _, p := range d.Sheet(run, image.Sheet).Side(image.Side) {
		s := d.Shown(p.Page)
		placed := pdf.Placed{Page: s.Page, Matrix: geom.Translate(-s.Box.X0, -s.Box.Y0).Then(p.Matrix).Then(m), Clip: m.Bounds(p.Clip)}
		if s.Seen != d.Pages()[s.Page-1].Visible() {
			placed.Box = s.Seen
		}
		out = append(out, placed)
	}
	return out
}

// Sheet is a sheet by its place in a run, from 1. From copy to copy the numbers of sheets are counted on.
func (d *Draft) Sheet(run Run, inRun int) reorder.PlacedSheet {
	at := run.First + inRun - 2
	s := d.Printed[at%len(d.Printed)]
	s.Sheet.Number += at / len(d.Printed) * len(d.Placement.Sheets)
	return s
}

// InBook is the number that the sheet with a number has in its copy, and CopyOf is which copy that is, from 1.
func (d *Draft) InBook(number int) int { return (number-1)%len(d.Placement.Sheets) + 1 }
func (d *Draft) CopyOf(number int) int { return (number-1)/len(d.Placement.Sheets) + 1 }

// SheetsPrinted is how many sheets are printed of all copies.
func (d *Draft) SheetsPrinted() int { return len(d.Printed) * d.Options.HowOften() }

func (d *Draft) Correction(image printer.Image) geom.Matrix {
	return printer.Correction(d.Paper.Size, image.Side, image.HalfTurn, d.Profile.Registration, d.Profile.Scale)
}

// handwork is what the hands do with the printed sheets.
func (d *Draft) handwork() ([]reorder.Motion, error) {
	stacks := d.Book.Stacks
	if g := d.Options.OnlyGathering; g > 0 {
		stacks = [][]int{{d.SizeOf(d.Book.Gatherings[g-1])}}
	}
	return d.Book.Form.Handwork(d.Paper.Size, stacks)
}

// marking is where the marks of the book stand.
func (d *Draft) marking() reorder.Marking {
	o := d.Options
	m := reorder.Marking{
		Folds: o.Marks.Fold, Cuts: o.Marks.Cut, Steps: o.Marks.Collation, Corners: o.Marks.Corners,
		Signing: o.Marks.Signing, Trim: d.Trim, Creep: o.CreepIn(d.Book), Margin: assumedMargin,
	}
	if k := o.KeepClear; k.Given {
		m.CornerMargin = k.Widest()
		m.Margin = max(assumedMargin, m.CornerMargin)
	}
	m.Volumes = d.Volumes
	if o.Marks.Stations && d.Structure.Sewn != binding.Side {
		m.Stations = d.stations()
	}
	return m
}

// assumedMargin is the least edge in mm that marks keep clear of: most printers
// cannot reach about 1/6 in of it (common practice, no source).
const assumedMargin = 4.5
