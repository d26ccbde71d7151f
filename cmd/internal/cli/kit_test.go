package cli

import (
	"archive/zip"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/printtest"
	"foldwright/cmd/internal/runsheet"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder"
	"foldwright/reorder/paper"
)

// novice has a kit, a printer that nobody has seen, and nothing else.
type novice struct {
	t      *testing.T
	reader *printtest.Reader
	folder string
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
	seen := printtest.Try(n.t, n.reader, n.folder, n.paper, p, reload)
	if reading := seen.Reading(n.t); reading != "A2" {
		i := slices.IndexFunc(n.start.PutBack, func(r runsheet.PutBackRead) bool { return r.Reading == reading })
		reload = n.start.PutBack[i].Reload
		seen = printtest.Try(n.t, n.reader, n.folder, n.paper, p, reload)
		if again := seen.Reading(n.t); again != "A2" {
			n.t.Fatalf("after %s and %s the pin says %s", reading, reload, again)
		}
	}
	front, back := seen.BacksUp(n.t)
	var book []virtual.Finished[printtest.Page]
	for _, run := range n.start.Runs {
		done, err := p.PuttingBack(reload).Make(n.pages(chosen(n.t, run.Front, front)), n.pages(chosen(n.t, run.Back, back)))
		if err != nil {
			n.t.Fatal(err)
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
	seen := printtest.Try(n.t, n.reader, n.folder, n.paper, p, 0)
	if reading := seen.Reading(n.t); reading != "A2" {
		i := slices.IndexFunc(n.start.Edges, func(e runsheet.EdgeRead) bool { return e.Reading == reading })
		p = setting[n.start.Edges[i].Edge]
		seen = printtest.Try(n.t, n.reader, n.folder, n.paper, p, 0)
		if again := seen.Reading(n.t); again != "A2" {
			n.t.Fatalf("after %s and the other edge the pin says %s", reading, again)
		}
	}
	_, back := seen.BacksUp(n.t)
	var book []virtual.Finished[printtest.Page]
	for _, run := range n.start.Runs {
		done, err := p.Make(n.pages(chosen(n.t, run.Both, back)))
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

// TestKitServesEveryPrinter gives a kit to the owners of all 144 printers. They
// do what start-here says, as it stands in the value that it is written from,
// and each has the right book. With the other edge chosen in its dialog an
// automatic printer turns the backs by half a turn more, as the two settings
// are defined to differ (PWG 5100.1, sides).
func TestKitServesEveryPrinter(t *testing.T) {
	source := printtest.Book(t, 29)
	dir := t.TempDir()
	for _, runs := range []string{"book", "5"} {
		folder := filepath.Join(dir, "kit-"+runs)
		run(t, "kit", source, "--sheets", "3", "--run", runs, "--paper", "a4", "--out", folder, "--quiet")
		plan := filepath.Join(dir, "job-"+runs)
		run(t, "prepare", source, "--sheets", "3", "--run", runs, "--paper", "a4", "--out", plan, "--quiet")
		record, err := job.ReadKit(folder)
		if err != nil {
			t.Fatal(err)
		}
		a4, err := reorder.ParsePaper("a4")
		if err != nil {
			t.Fatal(err)
		}
		n := novice{t, new(printtest.Reader), folder, record.Start, a4}
		j := printtest.Load(t, plan)
		for _, facts := range virtual.All() {
			var book []virtual.Finished[printtest.Page]
			if facts.TwoSided == printer.ByHand {
				book = n.byHand(printtest.Printer(t, facts))
			} else {
				other := facts
				other.FlipEdge = printer.LongEdge + printer.ShortEdge - facts.FlipEdge
				book = n.twoSided(map[printer.FlipEdge]*virtual.Printer[printtest.Page]{
					printer.LongEdge: printtest.Printer(t, facts), printer.ShortEdge: printtest.Printer(t, other),
				})
			}
			var stack []paper.Sheet
			for i, s := range book {
				if got := s.Front.Image.Name(); got != fmt.Sprintf("sheet %d, front", i+1) {
					t.Fatalf("%+v: %q lies in place %d", facts, got, i+1)
				}
				stack = append(stack, printtest.Printed(j.Size(), s))
			}
			j.Read(t, stack, 0.1)
		}
	}
}

// TestKitHoldsWhatItTells: the files that start-here tells of are those in the
// kit, six for each run, and every one of its values stands on the page.
func TestKitHoldsWhatItTells(t *testing.T) {
	dir := t.TempDir()
	folder := filepath.Join(dir, "kit")
	run(t, "kit", printtest.Book(t, 29), "--sheets", "3", "--run", "5", "--out", folder, "--quiet")
	record, err := job.ReadKit(folder)
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(filepath.Join(folder, job.StartFile))
	if err != nil {
		t.Fatal(err)
	}
	told := []string{record.Start.TestFront, record.Start.TestBack, record.Start.TestBoth}
	for _, r := range record.Start.Runs {
		told = append(told, r.Front.One, r.Front.Three, r.Back.One, r.Back.Three, r.Both.One, r.Both.Three)
	}
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	want := append(slices.Clone(told), job.KitFile, job.StartFile, job.StartPrint)
	slices.Sort(want)
	if !slices.Equal(names, want) {
		t.Errorf("the kit holds %v, want %v", names, want)
	}
	for _, e := range record.Start.PutBack {
		told = append(told, e.Reading)
	}
	for _, text := range told {
		if !strings.Contains(string(page), text) {
			t.Errorf("%s does not tell of %s", job.StartFile, text)
		}
	}
}

// TestZippedKit opens a zipped kit with another reader and finds the files of
// the folder in it, and with unzip where that is installed.
func TestZippedKit(t *testing.T) {
	dir := t.TempDir()
	source := printtest.Book(t, 9)
	folder, packed := filepath.Join(dir, "kit"), filepath.Join(dir, "kit.zip")
	run(t, "kit", source, "--out", folder, "--quiet")
	run(t, "kit", source, "--out", packed, "--zip", "--quiet")
	run(t, "kit", source, "--out", packed, "--zip", "--quiet", "--replace")
	z, err := zip.OpenReader(packed)
	if err != nil {
		t.Fatal(err)
	}
	defer z.Close()
	if entries, err := os.ReadDir(folder); err != nil || len(entries) != len(z.File) {
		t.Errorf("%d files of %d (%v)", len(z.File), len(entries), err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		want, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(f.Name)))
		if err != nil || string(got) != string(want) {
			t.Errorf("%s differs (%v)", f.Name, err)
		}
	}
	if unzip, err := exec.LookPath("unzip"); err == nil {
		if out, err := exec.Command(unzip, "-tq", packed).CombinedOutput(); err != nil {
			t.Errorf("unzip: %v: %s", err, out)
		}
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 2 {
		t.Errorf("beside the kits lie %v (%v)", left, err)
	}
}
