package runsheet

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/reorder"
)

// kitSample is a kit of two runs, for folios or for a concertina.
func kitSample(oneSided bool) Kit {
	k := Kit{Job: usualJob(), Start: Start{TestFront: "test-front.pdf"}}
	k.Guessed, k.Program = false, Program{}
	if oneSided {
		k.Gatherings = k.Gatherings[:1]
		k.setForm(reorder.Form{Fold: reorder.Concertina, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft, Overlap: 10})
	} else {
		k.Start.TestBack, k.Start.TestBoth = "test-back.pdf", "test-both.pdf"
		k.Start.PutBack = []PutBackRead{{"K2", printer.AsDelivered}, {"K4", printer.RotateHalf}, {"K1", printer.TurnLong}, {"K3", printer.TurnShort}}
		k.Start.Edges = []EdgeRead{{"K2", printer.LongEdge}, {"K4", printer.ShortEdge}}
	}
	for _, r := range k.Runs {
		files := func(what string) ByTop {
			return ByTop{fmt.Sprintf("run-%02d-%s-top-I.pdf", r.Number, what), fmt.Sprintf("run-%02d-%s-top-III.pdf", r.Number, what)}
		}
		run := StartRun{Number: r.Number, Sheets: r.Sheets, First: sideName(r.Number, 1, reorder.Front), Last: sideName(r.Number, r.Sheets, reorder.Front), Front: files("book")}
		if !oneSided {
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
			golden(t, filepath.Join("testdata", "kit", name+".txt"), wordsOf(KitParts(k)))
		})
	}
}

// Whatever a page of a kit refers to stands in it, and the program, which its
// reader does not have, is not spoken of.
func TestKitStandsByItself(t *testing.T) {
	for _, oneSided := range []bool{false, true} {
		parts := KitParts(kitSample(oneSided))
		var anchors []string
		for _, p := range parts {
			anchors = append(anchors, p.Anchor)
			for _, s := range p.Stages {
				anchors = append(anchors, s.Anchor)
			}
		}
		lines := Lines(parts)
		for _, line := range lines {
			if strings.Contains(line.Text, "foldwright") {
				t.Errorf("%q", line.Text)
			}
		}
		if !oneSided && !slices.ContainsFunc(lines, func(l Line) bool { return l.Text == "gathering 1, letter A, sheets 1-4" }) {
			t.Error("the rows of a table do not stand as sentences where it is printed")
		}
		for _, p := range tell(parts) {
			for _, s := range p.Stages {
				for _, x := range slices.Concat(s.Notes, s.Steps) {
					for _, sentence := range slices.Concat([]Sentence{x.Lead, x.Else}, x.List, x.More) {
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
