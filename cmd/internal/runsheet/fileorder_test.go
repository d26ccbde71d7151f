package runsheet

import (
	"fmt"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
)

// evaluate is what a rule comes to for a sheet at place k of n.
func evaluate(t *testing.T, rule string, k, n int) int {
	t.Helper()
	rule = strings.NewReplacer("k", fmt.Sprint(k), "n", fmt.Sprint(n), "x", "*").Replace(rule)
	v, err := types.Eval(token.NewFileSet(), nil, token.NoPos, rule)
	if err != nil {
		t.Fatalf("%q: %v", rule, err)
	}
	var out int
	fmt.Sscan(v.Value.String(), &out)
	return out
}

// TestFileOrders: the rules that are told come to the pages that are worked out,
// and these are the sheet's, and those that the printer has not printed yet.
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
					rule, before := strings.CutSuffix(o.ofRule(), " and the page before it")
					if got := evaluate(t, strings.TrimPrefix(rule, "page "), k, n); got != last || before != (o.perSheet() == 2) {
						t.Errorf("%+v: %q is %d", o, o.ofRule(), got)
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
					if rule, ok := strings.CutPrefix(o.afterRule(), "the pages after "); ok {
						if got := evaluate(t, rule, k, n); got+1 != from || to != len(sheets) {
							t.Errorf("%+v: %q is %d", o, o.afterRule(), got)
						}
					} else if got := evaluate(t, strings.TrimPrefix(o.afterRule(), "pages 1 to "), k, n); got != to || from != 1 {
						t.Errorf("%+v: %q is %d", o, o.afterRule(), got)
					}
				}
			}
		}
	}
}
