package printing

import (
	"context"
	"slices"

	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/printer"
	"foldwright/reorder"
)

// PrintTestSheet prints the test sheet in the session's folder, of one or three sheets, by
// which a printer is learned. Nothing is known of the printer yet, so that the person is
// not told how to put the sheets back, but asked to remember it.
func (s *Session) PrintTestSheet(ctx context.Context, paper reorder.Paper, sheets int) error {
	way := printer.ByHand
	if slices.Contains(s.Says.Sides, string(sidesOf(printer.BothPass))) {
		both, err := s.Person.Confirm(ctx, "The printer can turn the paper itself. Shall it do so?")
		if err != nil {
			return err
		}
		if both {
			way = printer.Automatic
		}
	}
	return s.PrintTestSheetBy(ctx, way, paper, sheets)
}

// PrintTestSheetBy prints the test sheet likewise where it is known already whether the printer is to turn the paper itself.
func (s *Session) PrintTestSheetBy(ctx context.Context, way printer.TwoSided, paper reorder.Paper, sheets int) error {
	s.paper = paper
	steps := []Step{testStep(printer.FrontPass, testsheet.FrontFile, sheets), testStep(printer.BackPass, testsheet.BackFile, sheets)}
	if way == printer.Automatic {
		steps = []Step{testStep(printer.BothPass, testsheet.BothFile, sheets)}
	}
	for _, step := range steps {
		if err := s.ticket(step).Check(s.Says); err != nil {
			return err
		}
	}
	for _, step := range steps {
		text := capitalize(freshText(reorder.Count(sheets, "sheet"), paper)) +
			" Before that, draw a cross with a pencil on the side of each sheet that will lie up in the tray."
		if step.Pass == printer.BackPass {
			text = "Look which side is printed, up or down, and of several sheets which lies on top. Then put them back into the tray to be printed on the other side, and remember what you did with them: lifted over, turned half round, or turned over about a long or a short edge."
		}
		s.Person.Tell(text)
		if err := s.send(ctx, step); err != nil {
			return err
		}
	}
	return nil
}

func testStep(pass printer.Pass, file string, sheets int) Step {
	s := Step{Pass: pass, File: file, Portion: 1, Of: 1, title: "test sheet", pagesPerSheet: pagesPerSheet(pass)}
	for i := range sheets {
		s.Sheets = append(s.Sheets, i+1)
	}
	for i := range sheets * s.pagesPerSheet {
		s.pages = append(s.pages, i+1)
	}
	return s
}
