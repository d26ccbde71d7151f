package testsheet

import (
	"regexp"
	"strings"
)

// Steps is what to do with the print files, on lines that fit into a small window. The
// person reads it before the sheet itself can say anything.
func Steps(three bool) string {
	text := `If you put the paper back yourself to print its second side:
  1  Pencil a cross in the middle of the upper side of {a blank sheet},
     and load {it} with that side up. In an upright tray the side that faces
     you counts as the upper one.
  2  Print {front}: one-sided, actual size (100 percent).
  3  Before you lift anything, look: is the print on the upper or the lower
     side? Is the pencil cross on the printed side?
  4  Put {the sheet} back as you would put back a stack for a book. Don't go by
     the arrow. Note what you did: no turn at all, turned half round on the
     table, turned over like the page of a book, or turned over like the leaf
     of a wall calendar.
  5  Print {back} in the same way.
{watch}  6  Push a pin through the cross at the letter K. The number beside the hole
     is the answer: K2, for example.

If the printer turns the paper itself:
  Do step 1. Print {both}: two-sided, flipped on the long edge,
  actual size (100 percent). Then look as in step 3, and do step 6.

With the sheet in your hand: foldwright learn NAME, with a name for your printer.
`
	blank, it, sheet, watch := "a blank sheet", "it", "the sheet", ""
	if three {
		blank, it, sheet = "each of three blank sheets", "them", "the three sheets"
		watch = "     Watch whether each sheet lands on top of the one before it or beneath\n     it, and note which one lies on top at the end.\n"
	}
	return strings.NewReplacer("{front}", FrontFile, "{back}", BackFile, "{both}", BothFile,
		"{a blank sheet}", blank, "{it}", it, "{the sheet}", sheet, "{watch}", watch).Replace(text)
}

// Numbered are the steps of whoever puts the paper back, one by one, each on one line: pencil and load, print the
// front, look, put back, print the back and watch, push the pin.
func Numbered(three bool) (steps []string) {
	byHand, _, _ := strings.Cut(Steps(three), "\n\n")
	for line := range strings.Lines(byHand) {
		switch text := strings.TrimSpace(line); {
		case beginsStep.MatchString(line):
			_, text, _ = strings.Cut(text, " ")
			steps = append(steps, strings.TrimSpace(text))
		case len(steps) > 0:
			steps[len(steps)-1] += " " + text
		}
	}
	return steps
}

var (
	beginsStep = regexp.MustCompile(`^  \d  `)
	printsBoth = regexp.MustCompile(`Print ` + regexp.QuoteMeta(BothFile) + `: [^.]+\.`)
)

// Automatic is how the test sheet is printed on a printer that turns the paper itself.
func Automatic(three bool) string {
	return printsBoth.FindString(strings.Join(strings.Fields(Steps(three)), " "))
}
