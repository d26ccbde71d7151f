package main

import (
	"math"
	"strings"
	"testing"
)

// writeYear gives the paragraphs of all days, as the book has them.
func writeYear(t *testing.T) (days []day, paragraphs [][]string) {
	t.Helper()
	written, err := writtenEntries()
	if err != nil {
		t.Fatal(err)
	}
	g, err := newGrammar(seed)
	if err != nil {
		t.Fatal(err)
	}
	days, err = makeYear(seed, written)
	if err != nil {
		t.Fatal(err)
	}
	for i := range days {
		paragraphs = append(paragraphs, g.write(&days[i]))
	}
	return days, paragraphs
}

func TestEverySlotIsFilled(t *testing.T) {
	days, year := writeYear(t)
	for i, paragraphs := range year {
		for _, text := range paragraphs {
			if len(text) < 4 || strings.ContainsAny(text, "{}|()[]") || strings.Contains(text, "  ") {
				t.Errorf("%s: %q", days[i].date.Format("2 January"), text)
			}
		}
	}
}

// A keeper's log repeats itself a little; a text that repeats itself much is no use for finding a misplaced page.
func TestTextIsVaried(t *testing.T) {
	_, year := writeYear(t)
	words := 0
	seen := map[string]int{}
	for _, paragraphs := range year {
		text := strings.Join(paragraphs, " ")
		words += len(strings.Fields(text))
		seen[text]++
		if seen[text] > 1 {
			t.Errorf("two days read alike: %q", text)
		}
	}
	if words < 20_000 {
		t.Errorf("%d words in the year, want 20000 or more", words)
	}
}

// The count of May is told in prose and printed as a table; both must give the same sum.
func TestBirdsAddUp(t *testing.T) {
	if got := inWords(totalBirds() / 1000); got != "five" || totalBirds() != 5368 {
		t.Errorf("%d birds in the table", totalBirds())
	}
	if !strings.Contains(entriesText, "five thousand three hundred and sixty-eight of them") {
		t.Error("the entry of 28 May tells another sum than 5368")
	}
}

func TestLinesFillTheMeasure(t *testing.T) {
	days, year := writeYear(t)
	f := &flow{press: press{newDocument()}}
	space := f.press.width(roman, textSize, " ")
	all, gaping := 0, 0
	for i, paragraphs := range year {
		for _, text := range paragraphs {
			lines, err := f.lines(text, 0, "")
			if err != nil {
				t.Errorf("%s: %v", days[i].date.Format("2 January"), err)
			}
			for k, l := range lines {
				short := measure - l.end()
				if short < -0.001 || k < len(lines)-1 && math.Abs(short) > 0.001 {
					t.Errorf("%s, line %d ends %.3f mm before the margin", days[i].date.Format("2 January"), k+1, short)
				}
				stretch := l.space / space
				if stretch < tightest-0.001 || stretch > loosest {
					t.Errorf("%s, line %d: spaces are %.2f of the natural one", days[i].date.Format("2 January"), k+1, stretch)
				}
				all++
				if stretch > 2.2 {
					gaping++
				}
			}
		}
	}
	if gaping*200 > all {
		t.Errorf("%d of %d lines have gaping spaces, more than one in two hundred", gaping, all)
	}
}

func TestStoresNeverRunOut(t *testing.T) {
	days, _ := writeYear(t)
	for m, rows := range storesOf(days) {
		if len(rows) != len(goods) {
			t.Fatalf("month %d has %d rows of %d", m+1, len(rows), len(goods))
		}
		for _, r := range rows {
			if r.good.fromOilBurnt && r.used < 20 {
				t.Errorf("month %d burnt %d gallons", m+1, r.used)
			}
			if r.after() < 0 || r.good.fromOilBurnt && r.after() == 0 {
				t.Errorf("month %d: %d of %s remain", m+1, r.after(), r.good.name)
			}
		}
	}
}
