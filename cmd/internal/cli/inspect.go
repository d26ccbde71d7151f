package cli

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"foldwright/cmd/internal/inspect"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// inspectOptions is what the command line says.
type inspectOptions struct {
	bookOptions
	json bool
}

func newInspect(s Surroundings) *cobra.Command {
	var o inspectOptions
	cmd := newCommand("inspect", func(cmd *cobra.Command, args []string) error {
		if err := o.takeBook(args); err != nil {
			return err
		}
		return runInspect(cmd.Context(), s, o)
	})
	f := cmd.Flags()
	f.BoolVar(&o.json, "json", false, "write what was found as JSON, for programs")
	o.addReadingFlags(f)
	addQuietFlag(f, &o.quiet)
	addProfilesFlag(f, &o.profiles)
	addJobFlags(f, &o.job)
	return cmd
}

func runInspect(ctx context.Context, s Surroundings, o inspectOptions) error {
	return o.withDraft(ctx, s, func(d *plan.Draft, _ *render.Renderer) error {
		bar := o.bar(s)
		bar.Start("looking at "+d.Name, d.PagesPrinted())
		found, err := inspect.Look(ctx, d, bar)
		bar.End()
		switch {
		case err != nil:
			return err
		case !o.json:
			return printInspection(s.Out, d, found)
		}
		e := json.NewEncoder(s.Out)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(found)
	})
}

// printInspection writes what was found for a person.
func printInspection(w io.Writer, d *plan.Draft, in inspect.Findings) error {
	t := visible.NewTable(w)
	t.AddRow("source", "%s, %s, %s", in.File, reorder.Count(in.Pages, "page"), bytesText(in.Bytes))
	t.AddRow("sizes", "%s", sizesFoundText(in.Sizes))
	t.AddRow("protection", "%s", map[bool]string{true: "encrypted, may be printed", false: "none"}[in.Encrypted])
	t.AddRow("numbering", "%s", numberingText(in))
	t.AddRow("fonts", "%s", fontsText(in))
	t.AddRow("layers", "%s", layersText(in))
	t.AddRow("annotations", "%s", annotationsText(in))
	if err := t.Flush(); err != nil {
		return err
	}
	visible.Fprintf(w, "\non %s, %s, each leaf %s before trimming\n", d.Paper.Name, d.Paper.Size, d.Book.PanelSize())
	p := in.Printed
	t.AddRow("scale", "%s percent", geom.Percent(p.Scale))
	t.AddRow("type", "%s", typeText(p))
	t.AddRow("pictures", "%s", picturesText(p))
	t.AddRow("edge", "%s", edgeText(p))
	t.AddRow("fold", "%s", foldText(p))
	t.AddRow("margins", "%s", marginsText(in.Margins))
	if err := t.Flush(); err != nil {
		return err
	}
	if len(in.Warnings)+len(in.Findings) == 0 {
		_, err := io.WriteString(w, "\nnothing to worry about was found\n")
		return err
	}
	return errors.Join(writeList(w, "what prepare would warn about", phrase.Strings(in.Warnings, flagStyle{})), writeList(w, "what else was noticed", phrase.Strings(in.Findings, flagStyle{})))
}

func writeList(w io.Writer, head string, sentences []string) error {
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
	return orNone(lists.Map(in.Layers, func(l pdf.LayerFact) string {
		return fmt.Sprintf("%s (%s)", l.Name, map[bool]string{true: "printed", false: "left out"}[l.Prints])
	}))
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

func orNone(words []string) string { return cmp.Or(strings.Join(words, ", "), "none") }

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
	mm := lists.Map(p.KeepMM[:], geom.Millimetres)
	edge := fmt.Sprintf("the outermost %s mm of the paper", mm[0])
	if len(slices.Compact(slices.Clone(mm))) > 1 {
		edge = fmt.Sprintf("the outermost %s, %s, %s and %s mm at head, tail, left and right of the paper", mm[0], mm[1], mm[2], mm[3])
	}
	who := "the printer"
	if p.Assumed {
		who = "most printers"
	}
	edge += fmt.Sprintf(", which %s cannot reach", who)
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
