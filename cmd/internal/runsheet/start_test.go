package runsheet

import (
	"fmt"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/reorder"
)

// kitSample is a kit of two runs, for folios or for a concertina.
func kitSample(oneFace bool) Kit {
	k := Kit{Job: usualJob(), Start: Start{TestFront: "test-front.pdf"}}
	k.Guessed, k.Folder = false, ""
	if oneFace {
		k.Gatherings = k.Gatherings[:1]
		k.folds(reorder.Form{Fold: reorder.Concertina, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft, Overlap: 10})
	} else {
		k.Start.TestBack, k.Start.TestBoth = "test-back.pdf", "test-both.pdf"
		k.Start.PutBack = []PutBackRead{{"A2", printer.AsDelivered}, {"A4", printer.RotateHalf}, {"A1", printer.TurnLong}, {"A3", printer.TurnShort}}
		k.Start.Edges = []EdgeRead{{"A2", printer.LongEdge}, {"A4", printer.ShortEdge}}
	}
	for _, r := range k.Runs {
		files := func(what string) ByTop {
			return ByTop{fmt.Sprintf("run-%02d-%s-top-I.pdf", r.Number, what), fmt.Sprintf("run-%02d-%s-top-III.pdf", r.Number, what)}
		}
		run := StartRun{Number: r.Number, Sheets: r.Sheets, First: sideName(r.Number, 1, reorder.Front), Last: sideName(r.Number, r.Sheets, reorder.Front), Front: files("book")}
		if !oneFace {
			run.Front, run.Back, run.Both = files("by-hand-front"), files("by-hand-back"), files("two-sided")
		}
		k.Start.Runs = append(k.Start.Runs, run)
	}
	return k
}

// What a person reads who was given a kit.
func TestGoldenKit(t *testing.T) {
	kits := map[string]Kit{"two-faces": kitSample(false), "one-face": kitSample(true)}
	for name, k := range kits {
		t.Run(name, func(t *testing.T) {
			golden(t, filepath.Join("testdata", "kit", name+".txt"), partText(KitParts(k)))
		})
	}
}

// Whatever a page of a kit refers to stands in it, and the program, which its
// reader does not have, is only spoken of where the kit's maker is to be asked.
func TestKitStandsByItself(t *testing.T) {
	for _, oneFace := range []bool{false, true} {
		parts := KitParts(kitSample(oneFace))
		var anchors []string
		for _, p := range parts {
			anchors = append(anchors, p.Anchor)
		}
		for _, line := range Lines(parts) {
			if strings.Contains(line.Text, "foldwright") && !strings.Contains(line.Text, "ask for these files in smaller runs") {
				t.Errorf("%q", line.Text)
			}
		}
		for _, p := range told(parts) {
			for _, s := range p.Stages {
				for _, x := range slices.Concat(s.Notes, s.Steps) {
					for _, sentence := range slices.Concat([]Sentence{x.Lead}, x.List, x.More) {
						for _, span := range sentence {
							if span.Mark == Link && !slices.Contains(anchors, span.To) {
								t.Errorf("%q leads nowhere", span.Text)
							}
						}
					}
				}
			}
		}
	}
}

// worth is what a rule comes to for a sheet at place k of n.
func worth(t *testing.T, rule string, k, n int) int {
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

// TestFileOrders: the rules that are told come to the pages that are reckoned,
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
					first, last := o.Of(k, n)
					if slices.Index(sheets, k)+1 != first || last-first+1 != o.perSheet() || sheets[last-1] != k {
						t.Errorf("%+v: sheet %d of %d is on pages %d to %d", o, k, n, first, last)
					}
					rule, before := strings.CutSuffix(o.ofRule(), " and the page before it")
					if got := worth(t, strings.TrimPrefix(rule, "page "), k, n); got != last || before != (o.perSheet() == 2) {
						t.Errorf("%+v: %q is %d", o, o.ofRule(), got)
					}
					from, to := o.After(k, n)
					for page, s := range sheets {
						printed := page+1 <= last
						if o.LastFirst {
							printed = page+1 >= first
						}
						if left := page+1 >= from && page+1 <= to; left == printed {
							t.Errorf("%+v: after sheet %d of %d pages %d-%d are left, page %d is of sheet %d", o, k, n, from, to, page+1, s)
						}
					}
					if after, ok := strings.CutPrefix(o.afterRule(), "the pages after "); ok {
						if got := worth(t, after, k, n); got+1 != from || to != len(sheets) {
							t.Errorf("%+v: %q is %d", o, o.afterRule(), got)
						}
					} else if got := worth(t, strings.TrimPrefix(o.afterRule(), "pages 1 to "), k, n); got != to || from != 1 {
						t.Errorf("%+v: %q is %d", o, o.afterRule(), got)
					}
				}
			}
		}
	}
}
