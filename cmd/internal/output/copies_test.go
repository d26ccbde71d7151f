package output

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/reorder"
)

// ofCopy is the job of one copy, to be folded by itself.
func ofCopy(j printtest.Job, copy int) printtest.Job {
	j.Gatherings = slices.DeleteFunc(slices.Clone(j.Gatherings), func(g plan.Gathering) bool { return g.Copy != copy })
	return j
}

// TestCopiesAreBooks prints copies on printers and folds each: every page once, upright, in order, copy after copy from
// the top of the stack.
func TestCopiesAreBooks(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 21)
	set := setting(t)
	r := new(printtest.Reader)
	const copies = 3
	for i, facts := range printertest.Some(t, 1) {
		o := options.Options{Printer: profileFile(t, facts), Sheets: 2, Copies: copies, Run: []options.Run{{Most: 4}, {Most: 13}, {Book: true}, {Gathering: true}}[i%4]}
		folder, made := prepared(t, source, o, set)
		if made.Sheets != 18 || made.Copies != copies || len(made.Runs) != []int{6, 2, 3, 9}[i%4] {
			t.Fatalf("%v: %d sheets, %d copies, %d runs", o.Run, made.Sheets, made.Copies, len(made.Runs))
		}
		j := printtest.Load(t, folder)
		stack := j.Print(t, r, printtest.Printer(t, facts))
		for c := range copies {
			ofCopy(j, c+1).Read(t, stack[c*6:(c+1)*6], 0.1)
		}
	}
}

// TestCopiesAreNamed reads the side names of all sheets as they come to lie: the sheet's number counts on from copy to copy.
func TestCopiesAreNamed(t *testing.T) {
	folder, made := prepared(t, printtest.Book(t, 21), options.Options{Printer: "by-hand-long", Sheets: 2, Copies: 3, Run: options.Run{Most: 100}}, setting(t))
	names := map[string]int{}
	for _, run := range made.Runs {
		for _, name := range run.Files() {
			for _, p := range new(printtest.Reader).Pages(t, filepath.Join(folder, name)) {
				var words []string
				for _, w := range p.Words {
					words = append(words, w.Text)
				}
				text := strings.Join(words, " ")
				at := strings.Index(text, "sheet")
				if at < 0 {
					t.Fatalf("no name among %q", text)
				}
				names[strings.Join(strings.Fields(text[at:])[:8], " ")]++
			}
		}
	}
	if len(names) != 36 {
		t.Errorf("%d names", len(names))
	}
	for sheet := 1; sheet <= 18; sheet++ {
		for _, side := range []reorder.Side{reorder.Front, reorder.Back} {
			if name := fmt.Sprintf("sheet %d, %s \u00b7 copy %d of 3", sheet, side, (sheet-1)/6+1); names[name] != 1 {
				t.Errorf("%s: %d times", name, names[name])
			}
		}
	}
}

// TestSheetOfACopyAgain reprints and continues with sheets of a later copy, and names what there is to choose from.
func TestSheetOfACopyAgain(t *testing.T) {
	set := setting(t)
	source := printtest.Book(t, 21)
	folder, made := prepared(t, source, options.Options{Sheets: 2, Copies: 3, Run: options.Run{Most: 4}}, set)
	d, err := redraftOf(t.Context(), folder, made, source, set)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		choice Choice
		want   string
	}{
		{Choice{Sheets: options.Pages{{First: 9, Last: 10}}}, "9-10"},
		{Choice{Gatherings: options.Pages{{First: 2, Last: 2}}}, "3-4,9-10,15-16"},
		{Choice{Gatherings: options.Pages{{First: 2, Last: 2}}, Copies: options.Pages{{First: 3, Last: 3}}}, "15-16"},
		{Choice{Pages: options.Pages{{First: 1, Last: 1}}, Copies: options.Pages{{First: 2, Last: 0}}}, "7,13"},
	} {
		r, err := d.Reprint(c.choice)
		if err != nil || r.Numbers != c.want {
			t.Errorf("%+v: %v, want %s", c.choice, err, c.want)
			continue
		}
		for _, p := range r.places {
			if n := d.number(p); !strings.Contains(d.SideName(p.run, p.inRun, reorder.Front), fmt.Sprintf("sheet %d, front \u00b7 copy %d of 3", n, d.CopyOf(n))) {
				t.Errorf("sheet %d is named %q", n, d.SideName(p.run, p.inRun, reorder.Front))
			}
		}
	}
	for _, choice := range []Choice{{Sheets: options.Pages{{First: 19, Last: 19}}}, {Sheets: options.Pages{{First: 1, Last: 1}}, Copies: options.Pages{{First: 4, Last: 4}}}, {Sheets: options.Pages{{First: 1, Last: 1}}, Copies: options.Pages{{First: 2, Last: 2}}}} {
		if _, err := d.Reprint(choice); err == nil {
			t.Errorf("%+v is planned", choice)
		}
	}
	rest, err := d.Remainder(Stop{After: 9, Pass: printer.BackPass})
	if err != nil || !strings.HasSuffix(rest.From, "back.pdf") || rest.run.First > 9 || rest.run.Last() < 9 {
		t.Errorf("%+v, %v", rest, err)
	}
	books, err := made.Bench(folder)
	if err != nil || len(books) != 1 || books[0].Leaves != 12 || books[0].Sheets != 6 {
		t.Errorf("at the bench: %+v, %v", books, err)
	}
}
