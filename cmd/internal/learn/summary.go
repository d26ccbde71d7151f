package learn

import (
	"fmt"
	"strings"

	"foldwright/printer"
	"foldwright/profiles"
	"foldwright/reorder"
)

// Summary is what a printer does with paper, in one sentence.
func Summary(p profiles.Profile) string {
	if p.TwoSided == printer.Automatic {
		return fmt.Sprintf("It turns the paper itself, about the %s edge, and sheets come out with the front %s.", p.FlipEdge, wayOf[p.Lands])
	}
	return fmt.Sprintf("It prints one side at a time, and sheets come out face %s. You put the stack back %s, so that a sheet is turned over about its %s edge between front and back.",
		wayOf[p.Lands], putBack[p.Reload], p.FlipEdge)
}

var wayOf = map[printer.Lands]string{printer.FaceUp: "up", printer.FaceDown: "down"}

var putBack = map[printer.Reload]string{
	printer.AsDelivered: "just as it came out",
	printer.RotateHalf:  "turned half round, flat on the table",
	printer.TurnLong:    "turned over like the page of a book",
	printer.TurnShort:   "turned over like the leaf of a wall calendar",
}

// Equipment is the paper and the tray that a profile names, and how it prints; empty if it names none.
func Equipment(p profiles.Profile) string {
	var words []string
	if paper, err := reorder.ParsePaper(p.Paper); err == nil {
		words = append(words, paper.Word()+" paper")
	}
	if tray := map[profiles.Tray]string{profiles.Drawer: "a drawer", profiles.Upright: "an upright tray", profiles.Slot: "a slot"}[p.Tray]; tray != "" {
		words = append(words, tray)
	}
	if p.TraySheets > 0 {
		words = append(words, "room for "+reorder.Count(p.TraySheets, "sheet"))
	}
	if p.Process != 0 {
		words = append(words, p.Process.String())
	}
	if words == nil {
		return ""
	}
	text := strings.Join(words, ", ") + "."
	return strings.ToUpper(text[:1]) + text[1:]
}
