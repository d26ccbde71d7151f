package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/measure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// reckonOptions is what the command line says.
type reckonOptions struct {
	bookOptions
	asked measure.Asked
	pages int
	leaf  options.Dimensions
	json  bool
}

func newReckon(s Surroundings) *cobra.Command {
	var o reckonOptions
	cmd := newCommand("reckon", func(cmd *cobra.Command, _ []string) error {
		o.asked.Bare = bareLengths(cmd.Flags())
		return runReckon(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	addNumber(f, &o.pages, "pages", "the pages of the book; needed")
	addWord(f, &o.job.Paper, "paper", "PAPER", "the paper, as for prepare (default: your region's)")
	addText(f, &o.leaf, "leaf-size", "SIZE", "the width and height of the trimmed leaf: 140x200mm; without --fold and --cut, the sheet is folded once, or cut in 2 or 4 before that, whatever wastes least (default: what the fold gives)")
	addText(f, &o.job.Fold, "fold", "FOLD", "as for prepare (default: folio)")
	addNumber(f, &o.job.Cut, "cut", "cut each sheet into 1, 2 or 4 pieces before folding (default: 1)")
	addNumber(f, &o.job.Sheets, "sheets", "maximum sheets per gathering (default: about 0.8 mm, 4 sheets of office paper)")
	addText(f, &o.job.Gatherings, "gatherings", "NUMBERS", "the exact gatherings, by their sheets: 4,4,3")
	addNumber(f, &o.job.Volumes, "volumes", "bind the book in this many volumes (default: 1)")
	addText(f, moreThanZero(&o.job.Caliper), "caliper", "LENGTH", "the measured thickness of one leaf (default: your paper's, else estimated)")
	addText(f, &o.job.Weight, "weight", "WEIGHT", "the weight of the paper instead: 80 (g/m2), 20lb-bond, 60lb-text")
	addWord(f, &o.asked.Structure, "structure", "STRUCTURE", strings.Join(structure.Names(), ", ")+", or a YAML file (default: case, of one gathering pamphlet)")
	addNumber(f, &o.job.Supports, "supports", "the number of cords, tapes or inner holes (default: by the structure and the height of the spine)")
	addText(f, (*measure.Length)(&o.asked.Measured.Thread), "thread", "LENGTH", "the measured thickness of the thread")
	addText(f, (*measure.Length)(&o.asked.Measured.Board), "board", "LENGTH", "the measured thickness of the board")
	f.BoolVar(&o.asked.TwoOn, "two-on", false, "sew two gatherings on with one length of thread")
	addText(f, &o.job.Units, "units", "UNITS", "mm or in (default: by the paper)")
	f.BoolVar(&o.json, "json", false, "write the figures as JSON, for programs")
	addProfilesFlag(f, &o.profiles)
	return cmd
}

// mostPages is more than is bound in one book.
const mostPages = 5000

func runReckon(ctx context.Context, s Surroundings, o reckonOptions) error {
	switch {
	case o.pages == 0:
		return refusal.Command.New("--pages is missing: the pages of the book")
	case o.pages > mostPages:
		return refusal.Use.New("--pages %d is too much: at most %d", o.pages, mostPages)
	}
	// It is a blank book of which nothing is written.
	o.job.Blank, o.job.Printer, o.job.Structure, o.job.TrimTo = o.pages, profiles.Guess, o.asked.Structure, o.leaf
	if o.leaf != (options.Dimensions{}) && o.job.Fold == 0 && o.job.Cut == 0 {
		if err := o.chooseCut(s); err != nil {
			return err
		}
	}
	return o.withDraft(ctx, s, func(d *plan.Draft, _ *render.Renderer) error {
		sheets, err := o.asked.Sheets("", d.Plan(), flagStyle{})
		if err != nil {
			return err
		}
		if o.json {
			return writeReckoned(s, d, sheets)
		}
		return tellReckoned(s, d, sheets)
	})
}

// chooseCut finds what wastes least of the sheets: the smallest leaf that is large enough.
func (o *reckonOptions) chooseCut(s Surroundings) error {
	paper, err := s.Region.Choose(profiles.Open(o.profiles), o.job.Paper)
	if err != nil {
		return err
	}
	best, largest := geom.Size{}, geom.Size{}
	for _, cut := range []int{1, 2, 4} {
		leaf, err := reorder.Form{Fold: reorder.Folio, Cut: cut, Nest: reorder.Inset, Bind: reorder.BindLeft}.PanelSize(paper.Size)
		if err != nil {
			continue
		}
		if cut == 1 {
			largest = leaf
		}
		if leaf.W >= float64(o.leaf.W) && leaf.H >= float64(o.leaf.H) && (best == geom.Size{} || leaf.W*leaf.H < best.W*best.H) {
			best, o.job.Cut = leaf, cut
		}
	}
	if best == (geom.Size{}) {
		return refusal.Plan.New("no leaf of %s can be made of %s: folded once, its leaves are %s", o.leaf, paper.Word(), largest).
			Advise("take larger paper, or choose the fold yourself with --fold and --cut")
	}
	return nil
}

func tellReckoned(s Surroundings, d *plan.Draft, sheets []binding.Sheet) error {
	visible.Fprintf(s.Out, "RECKONED, NOT MEASURED: for planning and buying. Cut nothing by these figures.\n\n")
	t := visible.NewTable(s.Out)
	t.AddRow("pages", "%d, %s", d.Options.Blank, reorder.Count(d.BlanksPrinted(), "blank"))
	t.AddRow("paper", "%s, %s (%s)", d.Paper.Name, d.Paper.Size, d.PaperBecause)
	if text := d.GrainText(); text != "" {
		t.AddRow("grain", "%s", text)
	}
	leaf := fmt.Sprintf("%s, %s", d.LeafText(), formText(d.Book.Form))
	trimmed, panel := sheets[0].Book.Leaf, d.Book.PanelSize()
	if waste := 1 - trimmed.W*trimmed.H/(panel.W*panel.H); waste > 0.005 {
		leaf += fmt.Sprintf("; %.0f percent of the paper is trimmed off", 100*waste)
	}
	t.AddRow("leaf", "%s", leaf)
	t.AddRow("sheets", "%d in %s: %s", d.SheetsPrinted(), reorder.Count(len(d.Gatherings()), "gathering"), sizesText(d))
	if err := t.Flush(); err != nil {
		return err
	}
	visible.Fprintf(s.Out, "\n")
	return measure.WriteTables(s.Out, sheets, flagStyle{})
}

// writeReckoned writes the same for programs.
func writeReckoned(s Surroundings, d *plan.Draft, sheets []binding.Sheet) error {
	type record struct {
		Kind    string           `json:"kind"`
		Format  int              `json:"format"`
		Version string           `json:"program-version"`
		Measure bool             `json:"measured"` // never
		Pages   int              `json:"pages"`
		Blanks  int              `json:"blanks"`
		Paper   plan.Paper       `json:"paper"`
		Fold    reorder.Fold     `json:"fold"`
		Cut     int              `json:"cut"`
		Sheets  int              `json:"sheets"`
		Sizes   []int            `json:"gatherings"` // by their sheets
		Volumes []measure.Record `json:"volumes"`
	}
	out := record{
		Kind: "foldwright reckoning", Format: 1, Version: Version, Pages: d.Options.Blank, Blanks: d.BlanksPrinted(),
		Paper: d.Plan().Paper, Fold: d.Options.Fold, Cut: d.Options.Cut, Sheets: d.SheetsPrinted(),
	}
	for _, g := range d.Gatherings() {
		out.Sizes = append(out.Sizes, len(g.Sheets))
	}
	for _, sheet := range sheets {
		out.Volumes = append(out.Volumes, measure.RecordOf(sheet, flagStyle{}))
	}
	return s.write(plan.Encode(out))
}
