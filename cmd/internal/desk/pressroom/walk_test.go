package pressroom

import (
	"bytes"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/runsheet"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/reorder/paper"
	"foldwright/reorder/sample"
)

// walker is a person who saves the files of the pages and prints them.
type walker struct {
	*visitor
	hands printtest.Hands
	done  map[int]paper.Sheet // finished, by their numbers in the book
	steps int
	begun bool // anew, in another start of the program, before every page

	// jam is asked at a file of the job that is about to be printed, for how many sheets come out, below 0: all.
	jam func(run int, pass printer.Pass) (good int)
	// spoil is asked likewise whether what comes out of a part of a file is all put away.
	spoil func(anchor string, pass printer.Pass) bool
	lost  []int // places in the pass of sheets that are spoiled when it jams in the backs
}

func walkWith(t *testing.T, facts printer.Facts, tray int, choices map[string]string, assumed ...string) *walker {
	w := &walker{visitor: visit(t, facts, tray, choices, assumed...), done: map[int]paper.Sheet{}}
	w.hands = printtest.Hands{T: t, Reader: &w.Reader, Folder: w.Folder, Printer: printtest.Printer(t, facts), Holds: tray}
	return w
}

// stands is what the person has before them: the job as the room's values tell it. The test
// asks them only which step has the words of the page.
func (w *walker) stands(t *testing.T) (job, runsheet.Screen) {
	t.Helper()
	b, err := w.room.Library.Book("tides")
	if err != nil {
		t.Fatal(err)
	}
	j, err := w.room.open(b)
	if err != nil {
		t.Fatal(err)
	}
	made, err := w.room.walk(t.Context(), j)
	if err != nil {
		t.Fatal(err)
	}
	if j.record.at() >= len(made.screens) {
		return j, runsheet.Screen{}
	}
	return j, made.screens[j.record.at()]
}

// walk goes through the pages to the end of the printing.
func (w *walker) walk(t *testing.T) {
	t.Helper()
	w.post(at0+"/begin", url.Values{"way": {"files"}})
	for range 600 {
		if w.begun { // nothing but the folder is remembered
			clear(w.room.walks)
		}
		text := w.get(at0)
		if strings.Contains(text, "Print the lost sheets") {
			again := w.get(at0 + "/again")
			form := url.Values{"moves": {group(moves, again)}}
			for _, m := range checked.FindAllStringSubmatch(again, -1) {
				form.Add("lost", m[1])
			}
			w.send(t, "/again", form)
			continue
		}
		j, screen := w.stands(t)
		if j.record.Part == nil && screen.Anchor == runsheet.MakeAnchor || screen.Stage == "" && screen.Step == nil && strings.Contains(text, "The gatherings are made") {
			return
		}
		if screen.Step != nil {
			if !strings.Contains(words(text), strings.Join(strings.Fields(screen.Step.Text().Lead.String()), " ")) && !strings.Contains(screen.Step.Text().Lead.String(), "\"") && len(plain(screen.Step)) > 0 && !strings.Contains(words(text), plain(screen.Step)) {
				t.Fatalf("the page does not say %q: %s", screen.Step.Text().Lead, words(text))
			}
			if w.act(t, j, screen, text) {
				continue // and went elsewhere
			}
		}
		w.send(t, "/step", url.Values{"moves": {group(moves, text)}, "to": {"next"}})
		w.steps++
	}
	t.Fatal("the steps never end")
}

// plain is the beginning of what a step says, up to its first word that is set in another way.
func plain(s runsheet.Step) string { return strings.TrimSpace(s.Text().Lead[0].Text) }

func (w *walker) send(t *testing.T, to string, form url.Values) {
	t.Helper()
	if status, said := w.post(at0+to, form); status != http.StatusOK {
		t.Fatalf("%s: %d %s", to, status, words(said))
	}
}

// act does a step; it tells whether that has led to another page.
func (w *walker) act(t *testing.T, j job, screen runsheet.Screen, text string) bool {
	t.Helper()
	h := &w.hands
	h.Folder = w.Folder
	if p := j.record.Part; p != nil {
		h.Folder = filepath.Join(w.Folder, p.Folder)
	}
	if file, isPrint := screen.Step.(runsheet.PrintFile); isPrint {
		w.saved(t, file.File, text, h.Folder)
		if w.spoil != nil && j.record.Part == nil && w.spoil(screen.Anchor, file.Pass) {
			w.putAway(t)
			return true
		}
		run := 0
		fmt.Sscanf(screen.Anchor, "run-%d", &run)
		if w.jam != nil && run > 0 && j.record.Part == nil {
			if good := w.jam(run, file.Pass); good >= 0 {
				w.jams(t, file, good, text)
				return true
			}
		}
	}
	if left, isPrint := screen.Step.(runsheet.PrintRemainder); isPrint {
		w.saved(t, left.File, text, h.Folder)
	}
	if screen.Anchor == runsheet.CheckAnchor { // its one sheet is not of the book
		if _, put := screen.Step.(runsheet.PutBack); put || screen.Stage == "Print it" {
			w.follow(t, screen.Step)
		}
		return false
	}
	w.follow(t, screen.Step)
	_, looks := screen.Step.(runsheet.LookAt)
	if p := j.record.Part; p != nil && p.Spent {
		looks = true
	}
	if looks && screen.Stage == runsheet.FinishHeading && len(h.Table) > 0 {
		fresh, err := h.Finished(printtest.Load(t, w.Folder).Size())
		if err != nil {
			t.Fatal(err)
		}
		maps.Copy(w.done, fresh)
		h.Table, h.Aside = nil, nil
	}
	return false
}

func (w *walker) follow(t *testing.T, s runsheet.Step) {
	t.Helper()
	if err := w.hands.Follow([]runsheet.Step{s}); err != nil {
		t.Fatalf("%s: %v", s.Text().Lead, err)
	}
}

// saved compares what the page's link saves with the file that is printed.
func (w *walker) saved(t *testing.T, name, text, folder string) {
	t.Helper()
	link := "/files/" + name
	path := filepath.Join(folder, name)
	if _, err := os.Stat(path); err != nil || folder == w.Folder {
		path = filepath.Join(w.Folder, name)
	} else {
		link = at0 + "/parts/" + name
	}
	if !strings.Contains(text, link+`"`) {
		t.Fatalf("the page has no link to %s: %s", link, words(text))
	}
	if !strings.HasPrefix(link, at0) {
		return // the plan's room serves it
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got := w.get(link); !bytes.Equal([]byte(got), data) {
		t.Errorf("%s is not the file in the folder", link)
	}
}

// jams prints the first sheets of a pass, and tells the page what came out.
func (w *walker) jams(t *testing.T, file runsheet.PrintFile, good int, text string) {
	t.Helper()
	h := &w.hands
	pages := w.Reader.Pages(t, filepath.Join(w.Folder, file.File))
	perSheet := 1
	if file.Pass == printer.BothPass {
		perSheet = 2
	}
	first := pages[:good*perSheet]
	if w.Facts.Sends == printer.LastPageFirst {
		first = pages[len(pages)-good*perSheet:]
	}
	fed, left := h.Tray.Split(good, w.Facts.FeedFrom)
	print := h.Printer.Print
	if file.Pass == printer.BothPass {
		print = h.Printer.PrintBoth
	}
	var err error
	if h.Out, err = print(fed, first); err != nil {
		t.Fatal(err)
	}
	trouble := w.get(at0 + "/trouble")
	run := 1
	fmt.Sscanf(file.File, "run-%d", &run)
	b, err := w.room.Library.Book("tides")
	if err != nil {
		t.Fatal(err)
	}
	j, err := w.room.open(b)
	if err != nil {
		t.Fatal(err)
	}
	out := sheetsOut(j.made, run, file.Pass)
	form := url.Values{"moves": {group(moves, trouble)}, "last": {""}}
	if good > 0 {
		form.Set("last", fmt.Sprint(out[good-1]))
	}
	if file.Pass == printer.BackPass {
		w.lost = slices.DeleteFunc(w.lost, func(at int) bool { return at >= len(out) })
		places := slices.Clone(w.lost)
		for i := range slices.Backward(places) {
			_, rest := left.Split(places[i]-good, w.Facts.FeedFrom)
			before, _ := left.Split(places[i]-good, w.Facts.FeedFrom)
			_, rest = rest.Split(1, w.Facts.FeedFrom)
			if w.Facts.FeedFrom == printer.FromBottom {
				left = slices.Concat(rest, before)
			} else {
				left = slices.Concat(before, rest)
			}
			form.Add("lost", fmt.Sprint(out[places[i]]))
		}
	} else {
		left = nil
	}
	h.Tray = left
	for key, texts := range form {
		for _, value := range texts {
			if key != "moves" && !strings.Contains(trouble, fmt.Sprintf(`name="%s" value="%s"`, key, value)) {
				t.Fatalf("the picture of the stack has no %s %s: %s", key, value, words(trouble))
			}
		}
	}
	w.send(t, "/trouble", form)
}

// putAway puts away all that came out of a part, and what lies in the tray, and begins the part again.
func (w *walker) putAway(t *testing.T) {
	t.Helper()
	trouble := w.get(at0 + "/trouble")
	if !strings.Contains(trouble, "Put away what came out of it") || strings.Contains(trouble, `name="last"`) {
		t.Fatalf("it is not begun again: %s", words(trouble))
	}
	w.hands.Tray, w.hands.Out = nil, nil
	w.send(t, "/trouble", url.Values{"moves": {group(moves, trouble)}})
}

// read reads the book.
func (w *walker) read(t *testing.T) {
	t.Helper()
	var sheets []paper.Sheet
	for _, n := range slices.Sorted(maps.Keys(w.done)) {
		sheets = append(sheets, w.done[n])
	}
	printtest.Load(t, w.Folder).Read(t, sheets, 0.15)
}

// TestWhoPrintsTheFilesHasTheBook, also where nothing is remembered from page to page.
func TestWhoPrintsTheFilesHasTheBook(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		for n, c := range []struct {
			tray    int
			choices map[string]string
		}{{0, nil}, {3, map[string]string{"run": "8"}}, {0, map[string]string{"run": "6"}}} {
			if !sample.Full() && n != i%3 {
				continue
			}
			t.Run(fmt.Sprint(i, c.choices), func(t *testing.T) {
				w := walkWith(t, facts, c.tray, c.choices)
				w.begun = n == 0 && i == 0
				w.walk(t)
				if w.steps < 8 {
					t.Errorf("%d steps only", w.steps)
				}
				w.read(t)
			})
		}
	}
}

// TestFilesGoOnAfterAFault of drawn kinds at drawn places, and what was lost is printed once more.
func TestFilesGoOnAfterAFault(t *testing.T) {
	random, faults, lost := sample.Random(t), 0, 0
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		passes := []printer.Pass{printer.FrontPass, printer.BackPass}
		if facts.TwoSided == printer.Automatic {
			passes = []printer.Pass{printer.BothPass}
		}
		for _, pass := range passes {
			t.Run(fmt.Sprint(i, pass), func(t *testing.T) {
				w := walkWith(t, facts, 0, map[string]string{"run": "7"})
				run, good := 1+random.IntN(2), random.IntN(3)
				if pass == printer.BackPass {
					w.lost = [][]int{nil, {good}, {good, good + 1}}[random.IntN(3)]
				}
				jammed := false
				w.jam = func(r int, p printer.Pass) int {
					if jammed || r != run || p != pass {
						return -1
					}
					jammed = true
					return good
				}
				w.walk(t)
				if !jammed {
					t.Fatal("nothing went wrong")
				}
				faults++
				lost += len(w.lost)
				w.read(t)
			})
		}
	}
	t.Logf("%d faults, %d sheets lost", faults, lost)
}

// TestAFaultInTheFirstGathering, or in the rest of its run, begins that part again: nothing that came out of
// it is used, nothing of the other part is printed twice, and the book is whole.
func TestAFaultInTheFirstGathering(t *testing.T) {
	random := sample.Random(t)
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		passes := []printer.Pass{printer.FrontPass, printer.BackPass}
		if facts.TwoSided == printer.Automatic {
			passes = []printer.Pass{printer.BothPass}
		}
		for _, part := range []string{"run-trial", "run-1"} {
			pass := passes[random.IntN(len(passes))]
			t.Run(fmt.Sprint(i, part, pass), func(t *testing.T) {
				w := walkWith(t, facts, 0, nil, "lands") // so that a gathering is tried first
				spoiled := 0
				w.spoil = func(anchor string, p printer.Pass) bool {
					if spoiled > 0 || anchor != part || p != pass {
						return false
					}
					spoiled++
					return true
				}
				w.walk(t)
				if spoiled != 1 {
					t.Fatal("nothing went wrong")
				}
				w.read(t)
			})
		}
	}
}
