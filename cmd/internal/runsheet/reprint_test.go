package runsheet

import (
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/reorder"
)

// TestReprintSpeaksOfItself: sheets printed again are not prepared again, and they are
// put back by what tells a half turn.
func TestReprintSpeaksOfItself(t *testing.T) {
	j, _ := sample(printer.Usual, true, 4)
	j.Profile.TraySheets = 0
	text := wordsOf(ReprintParts(Reprint{Job: j, Numbers: "1-4"}))
	if !strings.Contains(text, "reprint fewer sheets at a time") {
		t.Errorf("what to do with a small tray is not said:\n%s", text)
	}
	for _, never := range []string{"prepare the book again with", "stand the same way round"} {
		if strings.Contains(text, never) {
			t.Errorf("a reprint says %q", never)
		}
	}
	put := wordsOf([]Part{{Stages: []Stage{{Steps: []Step{PutInPlace{"7", true, false}}}}}})
	if !strings.Contains(put, "its side name begins at the same end as on the sheets next to it") {
		t.Errorf("the side name is not named: %s", put)
	}
	// A book of one sheet, or all sheets printed again: there is nothing to lay them like.
	for _, alone := range []PutInPlace{{"1", true, true}, {"1", false, true}, {"1-4", true, true}} {
		if put := wordsOf([]Part{{Stages: []Stage{{Steps: []Step{alone}}}}}); strings.Contains(put, "next to it") || strings.Contains(put, "above and below") {
			t.Errorf("%+v: %s", alone, put)
		}
	}
}

// TestConcertinaNeedsNoNeedle, and what is sewn or stabbed does.
func TestConcertinaNeedsNoNeedle(t *testing.T) {
	for _, fold := range reorder.Folds() {
		form := reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft}
		if fold == reorder.Concertina {
			form.Overlap = 10
		}
		j, _, ok := makeJob(t, form, false)
		if !ok {
			t.Fatalf("%s cannot be", fold)
		}
		text := strings.ToLower(wordsOf([]Part{makingPart(j)}))
		if strings.Contains(text, "needle") != (fold != reorder.Concertina) {
			t.Errorf("%s: needles: %t", fold, fold == reorder.Concertina)
		}
	}
}

// TestShortNamesTellNoRun: where folds are too short for the place in the run, nobody is
// told to read it there.
func TestShortNamesTellNoRun(t *testing.T) {
	for _, short := range []bool{false, true} {
		j, _ := sample(printer.Usual, true, 7)
		j.ShortNames = short
		text := wordsOf(Parts(j))
		if strings.Contains(text, "the last two numbers are its place") == short || strings.Contains(text, "with run 1, 4 of 7") == short {
			t.Errorf("short names: %t:\n%s", short, text)
		}
	}
}
