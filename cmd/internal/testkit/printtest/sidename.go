package printtest

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"foldwright/cmd/internal/render"
	"foldwright/printer/virtual"
	"foldwright/reorder/lists"
)

// ChosenPages are the pages that a print dialog prints of 3-5,9.
func ChosenPages(all []Page, ranges string) (out []Page, err error) {
	for _, r := range strings.Split(ranges, ",") {
		from, to, several := strings.Cut(r, "-")
		if !several {
			to = from
		}
		first, err := strconv.Atoi(from)
		if err != nil {
			return nil, err
		}
		last, err := strconv.Atoi(to)
		if err != nil {
			return nil, err
		}
		out = append(out, all[first-1:last]...)
	}
	return out, nil
}

// Text is the words of a page in the order in which they were printed.
func (p Page) Text() string {
	words := lists.Map(p.Words, func(w render.Word) string { return w.Text })
	return strings.Join(words, " ")
}

// Front is the text on the front of a sheet, and whether it looks up.
func Front(s virtual.Sheet[Page]) (string, bool) {
	if up := s.Upper(); up.Printed && strings.Contains(up.Image.Text(), ", front") {
		return up.Image.Text(), true
	}
	return s.Lower().Image.Text(), false
}

// Number is the number in the book that the side name on a sheet's front says.
func Number(s virtual.Sheet[Page]) (n int) {
	text, _ := Front(s)
	if _, name, ok := strings.Cut(text, "sheet "); ok {
		fmt.Sscanf(name, "%d", &n)
	}
	return n
}

// IsFrontUp tells whether the front of a sheet looks up.
func IsFrontUp(s virtual.Sheet[Page]) bool {
	_, up := Front(s)
	return up
}

// sideNames is how the side name of a sheet's first piece begins.
var sideNames = regexp.MustCompile(`sheet [0-9]+, (front|back)`)

// Name is how the side name on a page begins: sheet 7, front.
func (p Page) Name() string { return sideNames.FindString(p.Text()) }
