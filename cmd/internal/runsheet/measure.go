package runsheet

import (
	"fmt"
	"strings"

	"foldwright/reorder"
)

// bothUnits writes a size in millimetres and in inches.
func bothUnits(s reorder.Size) string {
	return fmt.Sprintf("%s (%s x %s in)", s, inches(s.W), inches(s.H))
}

func inches(mm float64) string { return trimmed(fmt.Sprintf("%.2f", mm/25.4)) }

// percent writes a scale, of which 1 is 100 percent, with at most one decimal.
func percent(scale float64) string { return trimmed(fmt.Sprintf("%.1f", scale*100)) + " percent" }

// trimmed is a decimal number without noughts at its end.
func trimmed(s string) string { return strings.TrimRight(strings.TrimRight(s, "0"), ".") }

// paperWord is what a paper is called, or its size if it has no name.
func paperWord(p reorder.Paper) string { return p.Word() }

// paperAndSize is a paper's name and its size in both units.
func paperAndSize(p reorder.Paper) string {
	if paperWord(p) == p.Size.String() {
		return "own size, " + bothUnits(p.Size)
	}
	return paperWord(p) + ", " + bothUnits(p.Size)
}
