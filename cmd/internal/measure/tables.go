package measure

import (
	"context"
	"fmt"
	"io"
	"strings"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/sheets/benchsheet"
	"foldwright/cmd/internal/visible"
	"foldwright/reorder/phrase"
)

// WriteTables writes the figures of each volume as tables that a person can read. The errors are those of w.
func WriteTables(w io.Writer, sheets []binding.Sheet, style phrase.Style) error {
	for i, sheet := range sheets {
		if len(sheets) > 1 {
			visible.Fprintf(w, "volume %d\n\n", i+1)
		}
		if err := writeSheet(w, sheet, style); err != nil {
			return err
		}
	}
	return nil
}

// AfterHeading stands above the figures that wait for the sewn block.
func AfterHeading(sheet binding.Sheet) string {
	what := "boards and cover"
	if sheet.Structure.Cover == binding.Paper {
		what = "cover"
	}
	return what + ", " + sheet.Basis()
}

func writeSheet(w io.Writer, sheet binding.Sheet, style phrase.Style) error {
	t := visible.NewTable(w)
	visible.Fprintf(t, "structure\t%s\n", sheet.Headline())
	visible.Fprintf(t, "\nbefore sewing\n")
	writeFigures(t, sheet.Before, style)
	writeStations(t, sheet)
	if len(sheet.After) > 0 {
		visible.Fprintf(t, "\n%s\n", AfterHeading(sheet))
		writeFigures(t, sheet.After, style)
	}
	for _, q := range sheet.Questions {
		visible.Fprintf(t, "\nquestion: %s\n", q.Text)
	}
	for _, a := range sheet.Advice {
		visible.Fprintf(t, "\nadvice: %s\n", a)
	}
	return t.Flush()
}

func writeFigures(w io.Writer, figures []binding.Figure, style phrase.Style) {
	for _, f := range figures {
		visible.Fprintf(w, "  %s\t%s\t%s\n", f.Name, f.Value, f.Why(style))
	}
}

// Station is a hole as a table has it.
type Station struct {
	Name    string
	Trimmed string // from the trimmed head
	Pierce  string // from the untrimmed head; empty where it is the same
}

// StationHeads stand above the columns of [StationRows]; the second is empty where nothing is trimmed
// off the head.
func StationHeads(sheet binding.Sheet) (trimmed, pierce string) {
	end, _ := sheet.Book.Ends()
	if sheet.Book.Trim.Head > 0 {
		return "from the trimmed " + end, "pierce, from the untrimmed " + end
	}
	return "from the " + end, ""
}

// StationRows lists the holes, also from the untrimmed head where that is
// another edge: piercing comes before trimming.
func StationRows(sheet binding.Sheet) (rows []Station) {
	head := sheet.Book.Trim.Head
	for _, h := range sheet.Stations.Holes {
		row := Station{Name: sheet.Book.NameOf(h), Trimmed: sheet.Units.Length(binding.Exactly(h.At))}
		if head > 0 {
			row.Pierce = sheet.Units.Length(binding.Exactly(h.At + head))
		}
		rows = append(rows, row)
	}
	return rows
}

func writeStations(w io.Writer, sheet binding.Sheet) {
	trimmed, pierce := StationHeads(sheet)
	visible.Fprintf(w, "\n")
	writeStation(w, Station{"stations", trimmed, pierce})
	for _, r := range StationRows(sheet) {
		visible.Fprintf(w, "  ")
		writeStation(w, r)
	}
	for _, n := range sheet.Stations.Notes {
		visible.Fprintf(w, "  note: %s\n", n)
	}
}

func writeStation(w io.Writer, s Station) {
	visible.Fprintf(w, "%s\t%s", s.Name, s.Trimmed)
	if s.Pierce != "" {
		visible.Fprintf(w, "\t%s", s.Pierce)
	}
	visible.Fprintf(w, "\n")
}

// Files is how bench sheet and piercing guide are written.
type Files struct {
	Folder  string // of the plan
	Made    plan.Plan
	Volume  int // that the sheets are of, named in titles; 0: the book is one, or they are of all
	Style   phrase.Style
	Replace bool                 // an earlier folder of ours
	Kept    func(names []string) // is told what a replaced folder held besides
}

// Title is what the files call the book.
func (f Files) Title() string {
	name := visible.Text(f.Made.Source.File)
	if f.Volume > 0 {
		return fmt.Sprintf("%s, volume %d", name, f.Volume)
	}
	return name
}

// Write writes bench sheet, piercing guide and figures into a folder, complete or not at all.
func (f Files) Write(ctx context.Context, place string, sheets []binding.Sheet) error {
	figures, err := f.figures(sheets)
	if err != nil {
		return err
	}
	return benchsheet.Write(ctx, place, sheets, benchsheet.Options{
		Title: f.Title(), Paper: f.Made.Paper.Size, PaperName: f.Made.Paper.Name,
		Style: f.Style, Ways: ways, Figures: figures, Replace: f.Replace, Plan: f.Folder, Kept: f.Kept,
	})
}

// Holds tells whether a folder holds what would be written into it now.
func (f Files) Holds(place string, sheets []binding.Sheet) bool {
	figures, err := f.figures(sheets)
	return err == nil && benchsheet.Holds(place, f.Title(), figures)
}

func (f Files) figures(sheets []binding.Sheet) (string, error) {
	var figures strings.Builder
	err := WriteTables(visible.NewWriter(&figures), sheets, f.Style)
	return figures.String(), err
}
