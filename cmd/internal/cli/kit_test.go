package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/sheets/testsheet"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/sample"
)

// novice has a kit, a printer that nobody has seen, and nothing else.
type novice struct {
	t      *testing.T
	reader *printtest.Reader
	folder string
	tests  string // where the test sheets lie
	start  runsheet.Start
	paper  reorder.Paper
}

// chosen is the file that a numeral chooses.
func chosen(t *testing.T, files runsheet.ByTop, numeral string) string {
	t.Helper()
	switch numeral {
	case "I":
		return files.One
	case "III":
		return files.Three
	}
	t.Fatalf("the top sheet has the numeral %q", numeral)
	return ""
}

// byHand does the part for those who put the paper back themselves.
func (n novice) byHand(p *virtual.Printer[printtest.Page]) []virtual.Finished[printtest.Page] {
	n.t.Helper()
	reload := n.start.PutBack[0].Reload
	seen := printtest.Try(n.t, n.reader, n.tests, n.paper, p, reload)
	if reading := seen.Reading(n.t); reading != "K2" {
		i := slices.IndexFunc(n.start.PutBack, func(r runsheet.PutBackRead) bool { return r.Reading == reading })
		reload = n.start.PutBack[i].Reload
		seen = printtest.Try(n.t, n.reader, n.tests, n.paper, p, reload)
		if again := seen.Reading(n.t); again != "K2" {
			n.t.Fatalf("after %s and %s the pin says %s", reading, reload, again)
		}
	}
	front, back := backsUp(n.t, seen.Stack)
	var book []virtual.Finished[printtest.Page]
	for _, run := range n.start.Runs {
		files := []string{chosen(n.t, run.Front, front), chosen(n.t, run.Back, back)}
		done, err := p.WithReload(reload).Make(n.pages(files[0]), n.pages(files[1]))
		if err != nil {
			n.t.Fatal(err)
		}
		if run.Sheets > 3 { // the second and the third are spoiled
			copy(done[1:], n.fromPages(p.WithReload(reload), run, 2, 3, files...))
		}
		book = append(book, done...)
	}
	return book
}

// twoSided does the part for those whose printer turns the paper itself.
// setting is the printer with either edge asked for in the print dialog.
func (n novice) twoSided(setting map[printer.FlipEdge]*virtual.Printer[printtest.Page]) []virtual.Finished[printtest.Page] {
	n.t.Helper()
	p := setting[n.start.Edges[0].Edge]
	seen := printtest.Try(n.t, n.reader, n.tests, n.paper, p, 0)
	if reading := seen.Reading(n.t); reading != "K2" {
		i := slices.IndexFunc(n.start.Edges, func(e runsheet.EdgeRead) bool { return e.Reading == reading })
		p = setting[n.start.Edges[i].Edge]
		seen = printtest.Try(n.t, n.reader, n.tests, n.paper, p, 0)
		if again := seen.Reading(n.t); again != "K2" {
			n.t.Fatalf("after %s and the other edge the pin says %s", reading, again)
		}
	}
	_, back := backsUp(n.t, seen.Stack)
	var book []virtual.Finished[printtest.Page]
	for _, run := range n.start.Runs {
		file := chosen(n.t, run.Both, back)
		done, err := p.Make(n.pages(file))
		if err != nil {
			n.t.Fatal(err)
		}
		if run.Sheets > 3 { // the second and the third are spoiled
			copy(done[1:], n.fromPages(p, run, 2, 3, file))
		}
		book = append(book, done...)
	}
	return book
}

// fromPages makes the sheets at the given places of a run once more, out of the files
// that were chosen, with the pages that start-here names for them.
func (n novice) fromPages(p *virtual.Printer[printtest.Page], run runsheet.StartRun, from, to int, files ...string) []virtual.Finished[printtest.Page] {
	n.t.Helper()
	var passes [][]printtest.Page
	for _, name := range files {
		wanted := printer.FrontPass
		if len(files) == 1 {
			wanted = printer.BothPass
		}
		numeral := "I"
		if strings.Contains(name, "III") {
			numeral = "III"
		}
		var pages []int
		for _, w := range (runsheet.PrintMissing{Start: n.start}).Ways() {
			if w.Numeral == numeral && w.Order.Pass == wanted {
				for k := from; k <= to; k++ {
					of := w.Order.Of(k, run.Sheets)
					pages = append(pages, of.From, of.To)
				}
			}
		}
		passes = append(passes, n.pages(name)[slices.Min(pages)-1:slices.Max(pages)])
	}
	done, err := p.Make(passes...)
	if err != nil {
		n.t.Fatal(err)
	}
	return done
}

// oneFace does the part of a book that is printed on one face only.
func (n novice) oneFace(p *virtual.Printer[printtest.Page]) []virtual.Finished[printtest.Page] {
	n.t.Helper()
	tried, err := p.PrintOneFace(virtual.Blank[printtest.Page](3), n.reader.Pages(n.t, filepath.Join(n.tests, testsheet.FrontFile)))
	if err != nil {
		n.t.Fatal(err)
	}
	top := frontsUp(n.t, tried)
	var book []virtual.Finished[printtest.Page]
	for _, run := range n.start.Runs {
		file := n.pages(chosen(n.t, run.Front, top))
		stack, err := p.PrintOneFace(virtual.Blank[printtest.Page](run.Sheets), file)
		if err != nil {
			n.t.Fatal(err)
		}
		done, err := virtual.Finish(stack)
		if err != nil {
			n.t.Fatal(err)
		}
		book = append(book, done...)
	}
	return book
}

func (n novice) pages(file string) []printtest.Page {
	return n.reader.Pages(n.t, filepath.Join(n.folder, file))
}

// kitAndJob makes a kit and, with the same options, a job that tells how the
// book has to read.
func kitAndJob(t *testing.T, source string, args ...string) (novice, printtest.Job) {
	t.Helper()
	folder, made := filepath.Join(t.TempDir(), "kit"), filepath.Join(t.TempDir(), "job")
	run(t, append([]string{"kit", source, "--paper", "a4", "--quiet", "--out", folder}, args...)...)
	run(t, append([]string{"prepare", source, "--paper", "a4", "--quiet", "--out", made}, args...)...)
	record, err := output.ReadKit(folder)
	if err != nil {
		t.Fatal(err)
	}
	a4, err := reorder.ParsePaper("a4")
	if err != nil {
		t.Fatal(err)
	}
	return novice{t, new(printtest.Reader), folder, folder, record.Editions[0].Start, a4}, printtest.Load(t, made)
}

// inOrder takes the sheets of a finished book in which sheet after sheet lies
// in its place.
func inOrder(t *testing.T, facts printer.Facts, size geom.Size, book []virtual.Finished[printtest.Page]) []paper.Sheet {
	t.Helper()
	var stack []paper.Sheet
	for i, s := range book {
		if got := s.Front.Image.Name(); got != fmt.Sprintf("sheet %d, front", i+1) {
			t.Fatalf("%+v: %q lies in place %d", facts, got, i+1)
		}
		stack = append(stack, printtest.Printed(size, s))
	}
	return stack
}

// TestKitServesEveryPrinter gives a kit to the owners of all 144 printers. They
// do what start-here says, as it stands in the value that it is written from,
// and each has the right book. With the other edge chosen in its dialog an
// automatic printer turns the backs by half a turn more, as the two settings
// are defined to differ (PWG 5100.1, sides).
func TestKitServesEveryPrinter(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	for _, runs := range []string{"book", "5", "1"} {
		n, j := kitAndJob(t, source, "--sheets", "3", "--run", runs)
		for _, facts := range virtual.All() {
			var book []virtual.Finished[printtest.Page]
			if facts.TwoSided == printer.ByHand {
				book = n.byHand(printtest.Printer(t, facts))
			} else {
				other := facts
				other.FlipEdge = printer.OtherEdge(facts.FlipEdge)
				book = n.twoSided(map[printer.FlipEdge]*virtual.Printer[printtest.Page]{
					printer.LongEdge: printtest.Printer(t, facts), printer.ShortEdge: printtest.Printer(t, other),
				})
			}
			j.Read(t, inOrder(t, facts, j.Size(), book), 0.1)
		}
	}
}

// TestKitOfOneFaceServesEveryPrinter does the same for books whose backs stay
// blank: one numeral is read, and one file of two printed. What hands do with
// the sheets is the job's.
func TestKitOfOneFaceServesEveryPrinter(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	for _, fold := range []string{"pouch", "concertina"} {
		for _, runs := range []string{"book", "5"} {
			n, j := kitAndJob(t, source, "--fold", fold, "--run", runs)
			made, err := plan.Read(j.Folder)
			if err != nil {
				t.Fatal(err)
			}
			opened, err := survey.Open(t.Context(), source, "", rendertest.Shared(t))
			if err != nil {
				t.Fatal(err)
			}
			d, err := plan.Redraft(t.Context(), j.Folder, made, opened, Version)
			if err != nil {
				t.Fatal(err)
			}
			defer d.Close()
			var pages []int
			for _, g := range j.Gatherings {
				pages = append(pages, g.Pages...)
			}
			for _, facts := range virtual.All() {
				stack := inOrder(t, facts, j.Size(), n.oneFace(printtest.Printer(t, facts)))
				books, err := paper.Follow(stack, d.Handwork)
				if err != nil {
					t.Fatal(err)
				}
				if err := papertest.Check(books[0], papertest.Labels(pages)); err != nil {
					t.Fatalf("%s, %+v: %v", fold, facts, err)
				}
			}
		}
	}
}

// TestKitHoldsWhatItTells: the files that start-here tells of are those in the
// kit: six for each run, three for a run of one sheet, two or one of a book on
// one face, and no two of them are alike. Every value stands on the page.
func TestKitHoldsWhatItTells(t *testing.T) {
	source := printtest.Book(t, 29)
	for _, c := range []struct {
		args  []string
		tests int
		files int
	}{
		{[]string{"--sheets", "3", "--run", "5"}, 3, 2 * 6},
		{[]string{"--sheets", "1", "--run", "1"}, 3, 8 * 3},
		{[]string{"--fold", "pouch"}, 1, 2},
		{[]string{"--fold", "concertina", "--run", "14"}, 1, 3},
	} {
		folder := filepath.Join(t.TempDir(), "kit")
		run(t, append([]string{"kit", source, "--paper", "a4", "--out", folder, "--quiet"}, c.args...)...)
		record, err := output.ReadKit(folder)
		if err != nil {
			t.Fatal(err)
		}
		page, err := os.ReadFile(filepath.Join(folder, output.StartFile))
		if err != nil {
			t.Fatal(err)
		}
		tests := given(record.Editions[0].Start.TestFront, record.Editions[0].Start.TestBack, record.Editions[0].Start.TestBoth)
		var files []string
		for _, r := range record.Editions[0].Start.Runs {
			files = append(files, given(r.Front.One, r.Front.Three, r.Back.One, r.Back.Three, r.Both.One, r.Both.Three)...)
		}
		if len(tests) != c.tests || len(files) != c.files {
			t.Errorf("%v: %d tests and %d files, want %d and %d", c.args, len(tests), len(files), c.tests, c.files)
		}
		want := slices.Concat(tests, files, []string{output.KitFile, output.StartFile, output.StartPrint})
		slices.Sort(want)
		entries, err := os.ReadDir(folder)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		once := map[string]string{}
		for _, e := range entries {
			data, err := os.ReadFile(filepath.Join(folder, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			if twin, twice := once[string(data)]; twice {
				t.Errorf("%v: %s and %s are the same", c.args, twin, e.Name())
			}
			once[string(data)] = e.Name()
			names = append(names, e.Name())
		}
		if !slices.Equal(names, want) {
			t.Errorf("%v: the kit holds %v, want %v", c.args, names, want)
		}
		told := slices.Concat(tests, files)
		for _, e := range record.Editions[0].Start.PutBack {
			told = append(told, e.Reading)
		}
		for _, text := range told {
			if !strings.Contains(string(page), text) {
				t.Errorf("%v: %s does not tell of %s", c.args, output.StartFile, text)
			}
		}
	}
}

// given is the names that are not empty, each once.
func given(names ...string) []string {
	slices.Sort(names)
	return slices.DeleteFunc(slices.Compact(names), func(s string) bool { return s == "" })
}

// TestKitOfTwoPapers gives a kit for A4 and Letter to the owners of all 144 printers: with
// either paper, and the files of that paper, each has the right book.
func TestKitOfTwoPapers(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	folder := filepath.Join(t.TempDir(), "kit")
	const maker = "From the keepers at Larkhaven. Print it for your friends."
	run(t, "kit", source, "--paper", "a4,letter", "--sheets", "3", "--quiet", "--out", folder, "--maker", maker)
	record, err := output.ReadKit(folder)
	if err != nil || len(record.Editions) != 2 {
		t.Fatalf("%d editions, %v", len(record.Editions), err)
	}
	start, err := os.ReadFile(filepath.Join(folder, output.StartFile))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"a4", "letter"} {
		size, err := reorder.ParsePaper(name)
		if err != nil {
			t.Fatal(err)
		}
		page, err := os.ReadFile(filepath.Join(folder, name+"-"+output.StartFile))
		if err != nil || !strings.Contains(string(page), maker) || !strings.Contains(string(start), `href="./`+name+"-"+output.StartFile+`"`) {
			t.Errorf("%s: %v", name, err)
		}
		made := filepath.Join(t.TempDir(), "job")
		run(t, "prepare", source, "--paper", name, "--sheets", "3", "--quiet", "--out", made)
		j := printtest.Load(t, made)
		// The person reads the names on the page; the simulated one knows those without the paper.
		tests := t.TempDir()
		edition := record.Editions[i].Start
		for _, file := range []string{edition.TestFront, edition.TestBack, edition.TestBoth} {
			data, err := os.ReadFile(filepath.Join(folder, file))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(tests, strings.TrimPrefix(file, name+"-")), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		n := novice{t, new(printtest.Reader), folder, tests, edition, size}
		for _, facts := range virtual.All() {
			var book []virtual.Finished[printtest.Page]
			if facts.TwoSided == printer.ByHand {
				book = n.byHand(printtest.Printer(t, facts))
			} else {
				other := facts
				other.FlipEdge = printer.OtherEdge(facts.FlipEdge)
				book = n.twoSided(map[printer.FlipEdge]*virtual.Printer[printtest.Page]{
					printer.LongEdge: printtest.Printer(t, facts), printer.ShortEdge: printtest.Printer(t, other),
				})
			}
			j.Faces(t, inOrder(t, facts, j.Size(), book)) // where marks stand is compared on paper that the pages fill
		}
	}
}

// TestSizeIsMeasuredOnEveryPaper looks for the stroke that is measured: every paper that a kit
// takes has room for ten centimetres in both directions from the cross.
func TestSizeIsMeasuredOnEveryPaper(t *testing.T) {
	papers := 0
	for _, name := range []string{"140x200mm", "a5", "half-letter", "a4", "letter", "a3", "iso-b5"} {
		p, err := reorder.ParsePaper(name)
		if err != nil || testsheet.Check(p) != nil {
			continue
		}
		papers++
		across, along := testsheet.Rulers(p)
		cross := testsheet.Corner(p, 0)
		if across.Length < 100 || along.Length < 100 || across.Zero != cross || along.End() != cross {
			t.Errorf("%s: %v, %v from %v", name, across, along, cross)
		}
	}
	if papers < 6 {
		t.Errorf("only %d papers", papers)
	}
}

// TestStartPageIsLegible reads start-here.pdf: no word lies over another, none leaves the
// paper, and the drawings are there.
func TestStartPageIsLegible(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	all := [][]string{{"--sheets", "3"}, {"--fold", "pouch"}, {"--fold", "quarto", "--cut", "2"}, {"--paper", "iso-b5", "--bind", "right"}, {"--structure", "long-stitch"}, {"--sheets", "15"}}
	for _, args := range sample.Of(t, all, 2, 0, 2) {
		folder := filepath.Join(t.TempDir(), "kit")
		run(t, append([]string{"kit", source, "--paper", "a4", "--quiet", "--out", folder}, args...)...)
		d := rendertest.Open(t, filepath.Join(folder, output.StartPrint))
		var text strings.Builder
		for page := 1; page <= d.Pages(); page++ {
			words, err := d.Words(t.Context(), page)
			if err != nil {
				t.Fatal(err)
			}
			for i, w := range words {
				fmt.Fprintln(&text, w.Text)
				for _, other := range words[:i] {
					if common := w.Box.Common(other.Box); common.Size().W > 0.6 && common.Size().H > 0.6 {
						t.Errorf("%v, page %d: %q lies over %q", args, page, w.Text, other.Text)
					}
				}
			}
		}
		for _, drawn := range []string{"underside:", "printer", "100"} {
			if !strings.Contains(text.String(), drawn) {
				t.Errorf("%v: %q is not drawn", args, drawn)
			}
		}
	}
}
