package output

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/testkit/pdftest"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
)

// sheetsOf is the sizes of a draft's gatherings.
func sheetsOf(d Job) string {
	var sizes options.Sizes
	for _, g := range d.Book.Gatherings {
		sizes = append(sizes, len(g.Sheets))
	}
	return sizes.String()
}

func TestSizesOfGatherings(t *testing.T) {
	var heavy reorder.Weight
	if err := heavy.UnmarshalText([]byte("120")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		pages int
		o     options.Options
		want  string
	}{
		{64, options.Options{}, "4,4,4,4"},
		{64, options.Options{Caliper: 0.2}, "2,2,2,2,2,2,2,2"},
		{64, options.Options{Weight: heavy}, "3,3,2,2,3,3"},
		{64, options.Options{Caliper: 0.1, GatheringThickness: options.Thickness{Thin: 1.2, Thick: 1.2}}, "6,5,5"},
		{64, options.Options{Caliper: 0.1, GatheringThickness: options.Thickness{Thin: 1, Thick: 1.2}}, "6,5,5"},
		{20, options.Options{Sheets: 4}, "3,2"},
		{20, options.Options{Sheets: 4, Fewest: 3}, "3,3"},
		{20, options.Options{Fewest: 6}, "6"},
		{20, options.Options{Gatherings: options.Sizes{1, 2, 3}}, "1,2,3"},
	} {
		if got := sheetsOf(drafted(t, c.pages, c.o)); got != c.want {
			t.Errorf("%d pages, %+v: %s, want %s", c.pages, c.o, got, c.want)
		}
	}
}

func TestBlanksWhereTheyAreWanted(t *testing.T) {
	for _, c := range []struct {
		name  string
		pages int
		o     options.Options
		want  string
	}{
		{"after", 6, options.Options{}, "[1 2 3 4 5 6 0 0]"},
		{"before", 5, options.Options{Pad: reorder.PadBefore}, "[0 0 1 2 3 4 5 0]"},
		{"split", 5, options.Options{Pad: reorder.PadSplit, Gatherings: options.Sizes{3}}, "[0 0 1 2 3 4 5 0 0 0 0 0]"},
		{"blanks of both kinds", 3, options.Options{BlanksBefore: 2, BlanksAfter: 2}, "[0 0 1 2 3 0 0 0]"},
		{"rectos", 7, options.Options{Recto: options.Starts{Pages: []int{2, 6}}}, "[1 0 2 3 4 5 6 7]"},
		{"a recto after blanks before", 7, options.Options{BlanksBefore: 1, Recto: options.Starts{Pages: []int{1}}}, "[0 0 1 2 3 4 5 6 7 0 0 0]"},
		{"a verso", 3, options.Options{Verso: options.Starts{Pages: []int{3}}}, "[1 2 0 3]"},
		{"a recto, padded before", 5, options.Options{Pad: reorder.PadBefore, Recto: options.Starts{Pages: []int{4}}, Gatherings: options.Sizes{3}}, "[0 0 0 0 0 0 1 2 3 0 4 5]"},
	} {
		d := drafted(t, c.pages, c.o)
		if got := fmt.Sprint(d.Places()); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// TestRectosOnPaper prints and folds a book whose chapters open on rectos.
func TestRectosOnPaper(t *testing.T) {
	source := printtest.Book(t, 29)
	o := options.Options{Recto: options.Starts{Pages: []int{4, 9, 16}}, Pad: reorder.PadSplit, BlanksAfter: 1, Sheets: 3}
	folder, plan := prepared(t, source, o, setting(t))
	readBook(t, new(printtest.Reader), folder)
	place := 0
	for _, g := range plan.Gatherings {
		for _, page := range g.Pages {
			place++
			if slices.Contains(o.Recto.Pages, page) && place%2 != 1 {
				t.Errorf("page %d is a verso", page)
			}
		}
	}
}

func TestRectoOutline(t *testing.T) {
	doc := pdftest.New(148, 210)
	for page := 1; page <= 9; page++ {
		doc.AddPage()
		switch page {
		case 1, 4, 8:
			doc.Bookmark(fmt.Sprintf("Chapter on page %d", page), 0, 0)
		case 6:
			doc.Bookmark("a section", 1, 0)
		}
	}
	source := t.TempDir() + "/outlined.pdf"
	if err := doc.OutputFileAndClose(source); err != nil {
		t.Fatal(err)
	}
	d, err := draftOf(t.Context(), source, options.Options{Recto: options.Starts{Outline: true}}, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(d.Places()); got != "[1 2 3 0 4 5 6 7 8 9 0 0]" {
		t.Errorf("places %s", got)
	}
}

// TestVolumes shares gatherings out; no run crosses from one to the next.
func TestVolumes(t *testing.T) {
	source := printtest.Book(t, 90)
	o := options.Options{Volumes: 3, Run: options.Run{Most: 8}, Sheets: 3}
	folder, plan := prepared(t, source, o, setting(t))
	if got := fmt.Sprint(plan.Volumes); got != "[{1 1 3 1 9 1} {2 4 2 10 5 37} {3 6 3 15 9 57}]" {
		t.Fatalf("volumes %s", got)
	}
	begins := map[int]bool{}
	for _, v := range plan.Volumes {
		begins[v.FirstSheet] = true
	}
	first := 1
	for _, r := range plan.Runs {
		for s := first + 1; s < first+r.Sheets; s++ {
			if begins[s] {
				t.Errorf("run %d goes on over sheet %d, where a volume begins", r.Number, s)
			}
		}
		first += r.Sheets
	}
	if first != plan.Sheets+1 || len(plan.Runs) != 5 {
		t.Errorf("%d runs end before sheet %d of %d", len(plan.Runs), first, plan.Sheets)
	}
	readBook(t, new(printtest.Reader), folder)
	// The run sheet says where each begins.
	d, err := draftOf(t.Context(), source, o, setting(t))
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(d.RunSheet().Volumes); got != "[{1 1 3 1 9 1} {2 4 2 10 5 37} {3 6 3 15 9 57}]" {
		t.Errorf("the run sheet has volumes %s", got)
	}
}

func TestWarningsOnTheBlock(t *testing.T) {
	for _, c := range []struct {
		name           string
		pages          int
		o              options.Options
		warned, advice string
	}{
		{"more blanks than need be", 13, options.Options{Gatherings: options.Sizes{3, 3}}, "11 blank pages fill gatherings that hold more than the pages need: 'sheets: 3' needs only 3 blanks", ""},
		{"sheets added", 20, options.Options{Sheets: 4, Fewest: 3}, "4 blank pages fill gatherings that hold more than the pages need: 'sheets: 5' or 'fewest: 2' needs only 0 blanks", ""},
		{"a lone sheet at the end", 36, options.Options{Gatherings: options.Sizes{4, 4, 1}}, "gathering 3, the last, is a single folded sheet, which needs a guard at the spine: 'sheets: 4' avoids it", ""},
		{"a lone sheet in the middle", 20, options.Options{Sheets: 2}, "gathering 2 is a single folded sheet, which is weak to sew: 'sheets: 3' avoids it", ""},
		{"thin", 40, options.Options{}, "", "the book has only 10 sheets: 'gatherings: 10' makes a single gathering of it, sewn with one thread"},
		{"twelve sheets", 48, options.Options{}, "", "the book has only 12 sheets: 'gatherings: 12' makes a single gathering of it, sewn with one thread"},
		{"thick", 100, options.Options{Caliper: 1, Sheets: 3}, "the text block is about 50 mm thick with leaves of 1 mm, more than 45 mm: 'volumes: 2' makes about 25 mm of each", ""},
		{"thick volumes", 100, options.Options{Caliper: 1, Gatherings: options.Sizes{20, 5}, Volumes: 2}, "", ""},
		{"thicker volumes", 200, options.Options{Caliper: 1, Sheets: 3, Volumes: 2}, "the thickest volume is about 52 mm thick with leaves of 1 mm, more than 45 mm: 'volumes: 3' makes about 33 mm of each", ""},
	} {
		d := drafted(t, c.pages, c.o)
		warned := strings.Join(phrase.Strings(d.BookWarnings(), nil), "\n")
		if warned != c.warned {
			t.Errorf("%s:\n got %s\nwant %s", c.name, warned, c.warned)
		}
		if got := strings.Join(phrase.Strings(d.Advice(), nil), "\n"); got != c.advice {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.advice)
		}
	}
	// Nothing is said where there is no cause, nor advised where the person has chosen.
	for _, d := range []Job{drafted(t, 40, options.Options{Sheets: 5}), drafted(t, 52, options.Options{}), drafted(t, 16, options.Options{})} {
		if len(d.BookWarnings())+len(d.Advice()) > 0 {
			t.Errorf("%s: %q %q", sheetsOf(d), d.BookWarnings(), d.Advice())
		}
	}
}

func TestRefusedBlocks(t *testing.T) {
	for want, o := range map[string]options.Options{
		"'fewest' and 'gatherings' cannot be used together":                                               {Fewest: 2, Gatherings: options.Sizes{4}},
		"'fewest: -1' must not be negative":                                                               {Fewest: -1},
		"'fewest: 5' is more than 'sheets: 4'":                                                            {Fewest: 5, Sheets: 4},
		"'gathering-thickness' cannot be used together with 'sheets', 'pieces', 'fewest' or 'gatherings'": {GatheringThickness: options.Thickness{Thin: 1, Thick: 1}, Sheets: 4, Caliper: 0.1},
		"'gathering-thickness' needs the paper's thickness":                                               {GatheringThickness: options.Thickness{Thin: 1, Thick: 1}},
		"'blanks-before: -1' must not be negative":                                                        {BlanksBefore: -1},
		"'blanks-after: 1001' is too much: at most 1000":                                                  {BlanksAfter: 1001},
		"'volumes: -1' must not be negative":                                                              {Volumes: -1},
		"'volumes: 3': the book has only 2 gatherings":                                                    {Volumes: 3, Sheets: 1},
		"'recto: 9': that page is not in the book":                                                        {Recto: options.Starts{Pages: []int{9}}},
		"'verso: 2': that page is not in the book":                                                        {Verso: options.Starts{Pages: []int{2}}, DropPages: options.Pages{{First: 2, Last: 2}}},
		"page 3 cannot be both a recto and a verso":                                                       {Recto: options.Starts{Pages: []int{3}}, Verso: options.Starts{Pages: []int{3}}},
		"'recto: outline': the source has no outline that leads to its pages":                             {Recto: options.Starts{Outline: true}},
		"'gathering-thickness: 0.9mm-0.95mm': no number of sheets makes it, folded sheets of this paper are 0.20 mm thick each": {GatheringThickness: options.Thickness{Thin: 0.9, Thick: 0.95}, Caliper: 0.1},
	} {
		if _, err := draftOf(t.Context(), printtest.Book(t, 8), o, setting(t)); err == nil || err.Error() != want {
			t.Errorf("%+v: got %v, want %q", o, err, want)
		}
	}
}
