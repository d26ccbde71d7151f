package simulate

import (
	"fmt"
	"slices"
	"strings"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/lists"
	"foldwright/reorder/refusal"
)

// findFaults compares the finished stack of a run with the plan.
func findFaults(made Made, facts printer.Facts) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	over, turned, strange := 0, 0, 0
	var strangeBack string
	var order []int
	for _, s := range made.Sheets {
		order = append(order, s.Front.Image.Sheet)
		switch {
		case s.Front.Over != nil:
			over++
		case s.Back.Printed && s.Back.Image.Sheet != s.Front.Image.Sheet:
			if strange++; strange == 1 {
				strangeBack = fmt.Sprintf("sheet %s has the back of sheet %s", s.Front.Image.Label, s.Back.Image.Label)
			}
		}
		if s.Back.Printed && isOnHead(s.Back) {
			turned++
		}
	}
	n := len(made.Sheets)
	if over > 0 {
		say("the second pass prints on sides that are already printed, and the other sides stay blank%s", suggestReloads(made.Run, facts))
	}
	if order := compareOrder(made.Sheets, order); order != "" {
		out = append(out, order)
	}
	if strange > 0 {
		say("%s; %s on the wrong sheets", strangeBack, shareText(strange, n, "all backs are", "backs are"))
	}
	if turned > 0 {
		say("%s upside down", shareText(turned, n, "the backs are", "backs are"))
	}
	return out
}

// shareText is all of n, or so many of them.
func shareText(k, n int, all, some string) string {
	if k == n {
		return all
	}
	return fmt.Sprintf("%d of %d %s", k, n, some)
}

// compareOrder says how the fronts follow each other, if it is not as planned.
func compareOrder(sheets []virtual.Finished[Page], order []int) string {
	if slices.IsSorted(order) {
		return ""
	}
	labels := lists.Map(sheets, func(s virtual.Finished[Page]) string { return s.Front.Image.Label })
	down := slices.Clone(order)
	slices.Reverse(down)
	if slices.IsSorted(down) {
		return fmt.Sprintf("the stack is in reverse order: from the top it reads sheet %s down to sheet %s", labels[0], labels[len(labels)-1])
	}
	return "from the top the sheets read " + strings.Join(labels, ", ")
}

// suggestReloads names the ways of putting the stack back with which nothing is
// printed twice.
func suggestReloads(run Run, facts printer.Facts) string {
	p, err := virtual.New[Page](facts)
	if err != nil {
		return ""
	}
	var works []string
	for r := printer.AsDelivered; r <= printer.TurnShort; r++ {
		if made, err := printRun(run, p.WithOverprinting(), r, false); err == nil && made.Sheets[0].Front.Over == nil {
			works = append(works, r.String())
		}
	}
	return fmt.Sprintf("; with %s they would be printed", strings.Join(works, " or "))
}

// Fault is an error if any run is not as planned.
func (o Outcome) Fault() error {
	for _, m := range o.Runs {
		if len(m.Faults) > 0 {
			return refusal.Faults.New("printed on %s, %s does not give the planned book", o.Printer, o.Task.Name)
		}
	}
	return nil
}
