package runsheet

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
)

// TestFileOrders: the pages that are worked out are the sheet's, and those that the printer has not
// printed yet; and they change from sheet to sheet as is told.
func TestFileOrders(t *testing.T) {
	for _, pass := range []printer.Pass{printer.FrontPass, printer.BackPass, printer.BothPass} {
		for i := range 4 {
			o := FileOrder{pass, i%2 == 1, i/2 == 1}
			for n := 1; n <= 6; n++ {
				var sheets []int // of the pages of the file
				for s := range n {
					place := s + 1
					if o.Descending {
						place = n - s
					}
					sheets = append(sheets, slices.Repeat([]int{place}, o.perSheet())...)
				}
				for k := 1; k <= n; k++ {
					of := o.Of(k, n)
					first, last := of.From, of.To
					if slices.Index(sheets, k)+1 != first || last-first+1 != o.perSheet() || sheets[last-1] != k {
						t.Errorf("%+v: sheet %d of %d is on pages %d to %d", o, k, n, first, last)
					}
					if k < n {
						var step int
						fmt.Sscan(o.forOthers(), &step)
						if strings.Contains(o.forOthers(), "less") {
							step = -step
						}
						if next := o.Of(k+1, n); next.From-first != step || next.To-last != step {
							t.Errorf("%+v: after pages %d-%d come %s, not %q", o, first, last, next, o.forOthers())
						}
					}
					after := o.After(k, n)
					from, to := after.From, after.To
					for page, s := range sheets {
						printed := page+1 <= last
						if o.LastFirst {
							printed = page+1 >= first
						}
						if left := page+1 >= from && page+1 <= to; left == printed {
							t.Errorf("%+v: after sheet %d of %d pages %d-%d are left, page %d is of sheet %d", o, k, n, from, to, page+1, s)
						}
					}
				}
			}
		}
	}
}
