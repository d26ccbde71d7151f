// Package printertest is for tests: the printers that there can be, or a sample.
package printertest

import (
	"fmt"
	"iter"
	"testing"

	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/sample"
)

// Some is printers with their places among all 144: one of each of the 12
// different sets of files, and a few more that are drawn.
func Some(tb testing.TB, few int) iter.Seq2[int, printer.Facts] {
	tb.Helper()
	all := virtual.All()
	return sample.Of(tb, all, few, Different(all)...)
}

// Different is the places of 12 printers that need different sets of files. From
// set to set another of its printers is taken, so that between them they have
// every fact. Of four sheets all sets differ.
func Different(all []printer.Facts) (places []int) {
	bySet := map[string][]int{}
	var sets []string
	for at, facts := range all {
		set := fmt.Sprint(facts.Files(4, true))
		if bySet[set] == nil {
			sets = append(sets, set)
		}
		bySet[set] = append(bySet[set], at)
	}
	for i, set := range sets {
		places = append(places, bySet[set][i%len(bySet[set])])
	}
	return places
}
