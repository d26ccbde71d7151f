package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/inspect"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// inspectOptions is what the command line says.
type inspectOptions struct {
	job      options.Options
	source   string
	profiles string
	password string // name of the file that holds it
	json     bool
	quiet    bool
	pageTime time.Duration
}

func newInspect(s Surroundings) *cobra.Command {
	return inspectCommand(s, func(ctx context.Context, o inspectOptions) error { return runInspect(ctx, s, o) })
}

func inspectCommand(s Surroundings, run func(context.Context, inspectOptions) error) *cobra.Command {
	var o inspectOptions
	cmd := &cobra.Command{
		Use:   "inspect BOOK.pdf",
		Short: "say what a book holds and how it will come out on paper",
		Long: `Inspect looks at every page of a book and writes nothing. It tells the pages'
sizes, fonts that are not in the file, how large most type comes out on the
paper, coarse pictures, ink near the paper's edge or the fold, layers,
annotations, spreads, and what prepare would warn about with the same flags.`,
		Example: `  foldwright inspect BOOK.pdf
  foldwright inspect BOOK.pdf --paper letter --json`,
		Args: one("BOOK.pdf"),
		RunE: func(cmd *cobra.Command, args []string) error {
			o.source = args[0]
			return run(cmd.Context(), o)
		},
	}
	f := cmd.Flags()
	f.SortFlags = false
	f.BoolVar(&o.json, "json", false, "write what was found as JSON")
	addPasswordFlag(f, &o.password)
	f.BoolVar(&o.quiet, "quiet", false, "show no progress")
	addPageTimeoutFlag(f, &o.pageTime)
	addProfilesFlag(f, &o.profiles)
	addJobFlags(f, &o.job)
	return cmd
}

func runInspect(ctx context.Context, s Surroundings, o inspectOptions) (err error) {
	engine := render.Start(render.Options{PageTime: o.pageTime})
	set := options.Setting{Profiles: profiles.Open(o.profiles), Region: s.Region, Version: Version}
	d, err := draft(ctx, s, o.source, o.password, o.job, set, engine)
	if err != nil {
		return errors.Join(err, engine.Close())
	}
	defer func() { err = errors.Join(err, d.Close(), engine.Close()) }()
	var bar progress.Reporter = progress.Silent
	if !o.quiet {
		bar = progress.Bar(s.Err)
	}
	bar.Start("looking at "+d.Name, d.PagesPrinted())
	found, err := inspect.Look(ctx, d, bar)
	bar.Done()
	if err != nil {
		return err
	}
	if o.json {
		e := json.NewEncoder(s.Out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(found)
	}
	return printInspection(s.Out, d, found)
}

// printInspection writes what was found for a person.
func printInspection(w io.Writer, d *plan.Draft, in inspect.Findings) error {
	t := visible.NewTable(w)
	row := func(what, text string) { visible.Fprintf(t, "%s\t%s\n", what, text) }
	row("source", fmt.Sprintf("%s, %s, %s", in.File, reorder.Count(in.Pages, "page"), bytesText(in.Bytes)))
	row("sizes", sizesFoundText(in.Sizes))
	row("protection", protectionText(in.Encrypted))
	row("numbering", numberingText(in))
	row("fonts", fontsText(in))
	row("layers", layersText(in))
	row("annotations", annotationsText(in))
	if err := t.Flush(); err != nil {
		return err
	}
	visible.Fprintf(w, "\non %s, %s, each leaf %s before trimming\n", d.Paper.Name, d.Paper.Size, d.Book.PanelSize())
	p := in.Printed
	row("scale", options.Percent(p.Scale)+" percent")
	row("type", typeText(p))
	row("pictures", picturesText(p))
	row("edge", edgeText(p))
	row("fold", foldText(p))
	row("margins", marginsText(in.Margins))
	if err := t.Flush(); err != nil {
		return err
	}
	if len(in.Warnings)+len(in.Findings) == 0 {
		_, err := io.WriteString(w, "\nnothing to worry about was found\n")
		return err
	}
	return errors.Join(list(w, "what prepare would warn about", in.Warnings), list(w, "what else was noticed", in.Findings))
}

func list(w io.Writer, head string, sentences []string) error {
	if len(sentences) == 0 {
		return nil
	}
	_, err := visible.Fprintf(w, "\n%s\n", head)
	for _, s := range sentences {
		if err == nil {
			_, err = visible.Fprintf(w, "- %s\n", s)
		}
	}
	return err
}

func bytesText(n int64) string {
	switch {
	case n >= 1e6:
		return fmt.Sprintf("%.1f MB", float64(n)/1e6)
	case n >= 1e3:
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	}
	return reorder.Count(int(n), "byte")
}

func sizesFoundText(sizes []inspect.SizeFound) string {
	const shown = 4
	var words []string
	for i, s := range sizes {
		if i == shown {
			words = append(words, fmt.Sprintf("and %d more", len(sizes)-shown))
			break
		}
		size := geom.Size{W: s.WidthMM, H: s.HeightMM}.String()
		switch {
		case len(sizes) == 1:
			return size
		case i == 0:
			words = append(words, fmt.Sprintf("%s (%s)", size, reorder.Count(len(s.Pages), "page")))
		default:
			words = append(words, fmt.Sprintf("%s (%s)", size, reorder.PagesText(s.Pages)))
		}
	}
	return strings.Join(words, ", ")
}

func protectionText(encrypted bool) string {
	if encrypted {
		return "encrypted, may be printed"
	}
	return "none"
}

func numberingText(in inspect.Findings) string {
	n := in.Numbering
	labels := ""
	if n.Labels {
		labels = ", the file names its pages as well"
	}
	switch {
	case n.Printed && n.Offset == 0:
		return "printed on the pages as the file counts them" + labels
	case n.Printed:
		// The first page that can have a number of its own.
		page := max(1, 1-n.Offset)
		return fmt.Sprintf("printed on the pages: page %d is numbered %d%s", page, page+n.Offset, labels)
	case n.Labels:
		return "the file names its pages, no numbers were found on them"
	}
	return "none was found"
}

func fontsText(in inspect.Findings) string {
	names := map[string]bool{}
	for _, f := range in.Fonts {
		names[f.Name+" "+f.Kind] = true
	}
	missing := in.MissingFonts()
	switch {
	case len(names) == 0:
		return "none"
	case len(missing) == 0:
		return fmt.Sprintf("%d, all in the file", len(names))
	case len(missing) == len(names):
		return fmt.Sprintf("%d, none in the file", len(names))
	}
	return fmt.Sprintf("%d, %d of them not in the file", len(names), len(missing))
}

func layersText(in inspect.Findings) string {
	var words []string
	for _, l := range in.Layers {
		how := "left out"
		if l.Prints {
			how = "printed"
		}
		words = append(words, fmt.Sprintf("%s (%s)", l.Name, how))
	}
	return orNone(words)
}

func annotationsText(in inspect.Findings) string {
	var words []string
	for _, a := range in.Annotations {
		if a.Printed > 0 {
			words = append(words, fmt.Sprintf("%d %s (printed)", a.Printed, a.Kind))
		}
		if a.LeftOut > 0 {
			words = append(words, fmt.Sprintf("%d %s (left out)", a.LeftOut, a.Kind))
		}
	}
	return orNone(words)
}

func orNone(words []string) string {
	if len(words) == 0 {
		return "none"
	}
	return strings.Join(words, ", ")
}

func typeText(p inspect.PrintedFacts) string {
	if p.SourcePT == 0 {
		return "no text, the pages are pictures or drawings"
	}
	return fmt.Sprintf("%g pt, in the source %g pt", p.TypePT, p.SourcePT)
}

func picturesText(p inspect.PrintedFacts) string {
	switch {
	case p.Pictures == 0:
		return "none"
	case len(p.Coarse) == 0:
		return fmt.Sprintf("%d, none coarse", p.Pictures)
	}
	return fmt.Sprintf("%d, %d of them coarse", p.Pictures, len(p.Coarse))
}

func edgeText(p inspect.PrintedFacts) string {
	k := p.KeepMM
	edge := fmt.Sprintf("%s mm", geom.Millimetres(k[0]))
	if k[1] != k[0] || k[2] != k[0] || k[3] != k[0] {
		edge = fmt.Sprintf("the outermost %s, %s, %s and %s mm at head, tail, left and right", geom.Millimetres(k[0]), geom.Millimetres(k[1]), geom.Millimetres(k[2]), geom.Millimetres(k[3]))
	} else {
		edge = "the outermost " + edge
	}
	if p.Assumed {
		edge += " of the paper, which most printers cannot reach"
	} else {
		edge += " of the paper, which the printer cannot reach"
	}
	if len(p.Edge) == 0 {
		return "no ink in " + edge
	}
	return fmt.Sprintf("ink on %s in %s", reorder.Count(len(p.Edge.Pages()), "page"), edge)
}

func foldText(p inspect.PrintedFacts) string {
	if len(p.Fold) == 0 {
		return "no ink within 10 mm"
	}
	return fmt.Sprintf("ink within 10 mm on %s", reorder.Count(len(p.Fold.Pages()), "page"))
}

func marginsText(m *inspect.Margins) string {
	if m == nil {
		return "too little print to tell"
	}
	text := fmt.Sprintf("%.0f mm at the spine, %.0f mm at the fore-edge", m.InnerMM, m.ForeEdgeMM)
	if m.Alternate {
		return text + ", alternating in the source"
	}
	return text
}
