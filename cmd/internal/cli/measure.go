package cli

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// measureOptions is what the command line says.
type measureOptions struct {
	folder    string
	structure string
	units     binding.Units
	measured  binding.Measured
	leaf      options.Dimensions
	bare      []string // the flags that were given lengths without a unit, with what was given
	twoOn     bool
	volume    int
	out       string
	replace   bool
}

// bareLengths is the flags that were given a length without a unit, each with what was given.
func bareLengths(f *pflag.FlagSet) (bare []string) {
	f.Visit(func(g *pflag.Flag) {
		given := g.Value.String()
		if strings.HasSuffix(g.Value.Type(), "LENGTH") || g.Value.Type() == "SIZE" {
			if strings.TrimRight(given, "0123456789.") != given {
				bare = append(bare, "--"+g.Name+" "+given)
			}
		}
	})
	return bare
}

// measuredLength is a length in mm that a person has measured; 0 is not given.
type measuredLength float64

// UnmarshalText reads a length greater than 0.
func (m *measuredLength) UnmarshalText(text []byte) error {
	var l options.Length
	if err := l.UnmarshalText(text); err != nil {
		return err
	}
	if l <= 0 {
		return refusal.Use.New("%q must be greater than 0", text)
	}
	*m = measuredLength(l)
	return nil
}

// measuredStack is a measured stack of leaves: 40=4.1mm.
type measuredStack struct{ *binding.Measured }

// UnmarshalText reads a number of leaves, =, and a length.
func (m measuredStack) UnmarshalText(text []byte) error {
	leaves, thick, two := strings.Cut(string(text), "=")
	n, err := strconv.Atoi(strings.TrimSpace(leaves))
	if !two || err != nil || n < 1 {
		return refusal.Use.New("%q is not a measured stack: use the number of leaves, = and its thickness, such as 40=4.1mm", text)
	}
	m.StackLeaves = n
	return (*measuredLength)(&m.Stack).UnmarshalText([]byte(thick))
}

func newMeasure(s Surroundings) *cobra.Command {
	var o measureOptions
	cmd := newCommand("measure", func(cmd *cobra.Command, args []string) error {
		o.folder, o.bare = args[0], bareLengths(cmd.Flags())
		return runMeasure(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	word(f, &o.structure, "structure", "STRUCTURE", strings.Join(structure.Names(), ", ")+", or a YAML file (default: the plan's)")
	text(f, measuredStack{&o.measured}, "stack", "N=LENGTH", "the measured thickness of a stack of N leaves of this paper, lightly pressed: 40=4.1mm")
	text(f, (*measuredLength)(&o.measured.Block), "block-thickness", "LENGTH", "the measured thickness of the sewn and pressed block at its fore-edge")
	text(f, &o.leaf, "leaf-size", "SIZE", "the measured width and height of the trimmed leaf: 146x207mm, 5 3/4x8 1/4in")
	text(f, (*measuredLength)(&o.measured.Spine), "spine", "LENGTH", "the measured spine of the sewn and rounded block, over its curve")
	text(f, (*measuredLength)(&o.measured.Board), "board", "LENGTH", "the measured thickness of the board")
	text(f, (*measuredLength)(&o.measured.Thread), "thread", "LENGTH", "the measured thickness of the thread")
	number(f, &o.measured.Supports, "supports", "the number of cords, tapes or inner holes (default: the plan's)")
	f.BoolVar(&o.twoOn, "two-on", false, "sew two gatherings on with one length of thread")
	number(f, &o.volume, "volume", "only this volume")
	text(f, &o.units, "units", "UNITS", "mm or in (default: the plan's)")
	word(f, &o.out, "out", "DIR", "folder to write, with "+benchsheet.SheetFile+" and "+benchsheet.GuideFile+" to print")
	f.BoolVar(&o.replace, "replace", false, "replace a folder that measure has written")
	return cmd
}

func runMeasure(ctx context.Context, s Surroundings, o measureOptions) error {
	made, err := plan.Read(o.folder)
	if err != nil {
		return err
	}
	sheets, err := o.sheets(made)
	if err != nil {
		return err
	}
	if o.out != "" {
		var figures strings.Builder
		if err := printVolumes(visible.NewWriter(&figures), sheets); err != nil {
			return err
		}
		if err := benchsheet.Write(ctx, o.out, sheets, benchsheet.Options{
			Title: visible.Text(made.Source.File), Paper: geom.Size{W: made.Paper.WidthMM, H: made.Paper.HeightMM}, PaperName: made.Paper.Name,
			Style: flagStyle{}, Figures: figures.String(), Replace: o.replace,
			Plan: o.folder, Kept: func(names []string) { tellKept(s, names) },
		}); err != nil {
			return err
		}
	}
	return printVolumes(s.Out, sheets)
}

// printVolumes writes the figures of each volume.
func printVolumes(w io.Writer, sheets []binding.Sheet) error {
	for i, sheet := range sheets {
		if len(sheets) > 1 {
			visible.Fprintf(w, "volume %d\n\n", i+1)
		}
		if err := printMeasures(w, sheet); err != nil {
			return err
		}
	}
	return nil
}

// sheets works out the figures of each volume.
func (o measureOptions) sheets(made plan.Plan) ([]binding.Sheet, error) {
	books, err := made.Bench(o.folder)
	if err != nil {
		return nil, err
	}
	if o.volume < 0 || o.volume > len(books) {
		return nil, refusal.Plan.New("--volume %d: the book has %s", o.volume, reorder.Count(len(books), "volume"))
	}
	if o.volume > 0 {
		books = books[o.volume-1 : o.volume]
	}
	if made.Options.Fold.Scheme().Strip {
		return nil, refusal.Plan.New("a concertina is not sewn").Advise("glue its ends to two boards, each a little larger than the leaf")
	}
	options, err := o.rules(made)
	if err != nil {
		return nil, err
	}
	var out []binding.Sheet
	for _, b := range books {
		sheet, err := binding.Measure(b, options)
		if err != nil {
			return nil, err
		}
		if note := warnOfMarks(made, sheet); note != "" {
			sheet.Advice = append(sheet.Advice, note)
		}
		out = append(out, sheet)
	}
	return out, nil
}

// rules is how the book is bound: as the plan has it unless something else was
// asked for.
func (o measureOptions) rules(made plan.Plan) (binding.Options, error) {
	options := binding.Options{
		Structure: made.Structure, Units: cmp.Or(o.units, made.Options.Units, options.UnitsOf(made.Paper.Name)), Edges: made.Options.Fold.Scheme().Held == reorder.Edges,
		Measured: o.measured,
	}
	if options.Units == binding.Inches && len(o.bare) > 0 {
		return options, refusal.Use.New("%s: inches or millimetres?", strings.Join(o.bare, ", ")).Advise("write in or mm after the number")
	}
	options.Measured.Leaf = made.Options.Bind.TurnToSide(geom.Size{W: float64(o.leaf.W), H: float64(o.leaf.H)})
	name := o.structure
	if name == "" && made.Structure.Name == "" {
		name = structure.Usual // there is none in the plan, where its stations did not fit
	}
	if name != "" {
		var err error
		if options.Structure, err = structure.Find(name); err != nil {
			return options, err
		}
	}
	// The plan's places are those of its own structure.
	if o.measured.Supports == 0 && reflect.DeepEqual(options.Structure, made.Structure) {
		options.Measured.Supports = made.Options.Supports
		options.Measured.Stations = made.Options.Stations.Mm()
	}
	options.Structure.TwoOn = options.Structure.TwoOn || o.twoOn
	return options, options.Structure.Check()
}

// warnOfMarks says so where the marks printed in the folds are not the
// stations of the sheet; empty where they are, or where there are none.
func warnOfMarks(made plan.Plan, sheet binding.Sheet) string {
	if !made.Options.Marks.Stations || made.Structure.Sewn == binding.Side || len(made.Stations) == 0 {
		return ""
	}
	same := func(a, b float64) bool { return math.Abs(a-b) < 0.05 }
	if slices.EqualFunc(made.Stations, sheet.Stations.Places(), same) {
		return ""
	}
	return fmt.Sprintf("the marks printed in the folds are for other stations (%s): do not pierce by them. "+
		"To print these instead, prepare the book again with the same --structure and --supports", made.Structure.Title)
}

// printMeasures writes the figures as tables that a person can read.
func printMeasures(w io.Writer, sheet binding.Sheet) error {
	t := visible.NewTable(w)
	visible.Fprintf(t, "structure\t%s\n", sheet.Headline())
	visible.Fprintf(t, "\nbefore sewing\n")
	printFigures(t, sheet.Before)
	printStations(t, sheet)
	if len(sheet.After) > 0 {
		what := "boards and cover"
		if sheet.Structure.Cover == binding.Paper {
			what = "cover"
		}
		visible.Fprintf(t, "\n%s, %s\n", what, sheet.Basis())
		printFigures(t, sheet.After)
	}
	for _, q := range sheet.Questions {
		visible.Fprintf(t, "\nquestion: %s\n", q)
	}
	for _, a := range sheet.Advice {
		visible.Fprintf(t, "\nadvice: %s\n", a)
	}
	return t.Flush()
}

func printFigures(w io.Writer, figures []binding.Figure) {
	for _, f := range figures {
		visible.Fprintf(w, "  %s\t%s\t%s\n", f.Name, f.Value, f.Why(flagStyle{}))
	}
}

// printStations lists the holes, also from the untrimmed head where that is
// another edge: piercing comes before trimming.
func printStations(w io.Writer, sheet binding.Sheet) {
	head := sheet.Book.Trim.Head
	end, _ := sheet.Book.Ends()
	if head > 0 {
		visible.Fprintf(w, "\nstations\tfrom the trimmed %s\tpierce, from the untrimmed %s\n", end, end)
	} else {
		visible.Fprintf(w, "\nstations\tfrom the %s\n", end)
	}
	for _, h := range sheet.Stations.Holes {
		visible.Fprintf(w, "  %s\t%s", sheet.Book.NameOf(h), sheet.Units.Length(binding.Exactly(h.At)))
		if head > 0 {
			visible.Fprintf(w, "\t%s", sheet.Units.Length(binding.Exactly(h.At+head)))
		}
		fmt.Fprintln(w)
	}
	for _, n := range sheet.Stations.Notes {
		visible.Fprintf(w, "  note: %s\n", n)
	}
}
