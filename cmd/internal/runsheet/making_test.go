package runsheet

import (
	"fmt"
	"regexp"
	"runtime/debug"
	"strings"
	"sync"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/paper"
	"foldwright/reorder/paper/papertest"
	"foldwright/reorder/reordertest"
)

// motion is what a step of the making asks of the hands with the paper.
func motion(s Step) (reorder.Motion, bool) {
	switch s := s.(type) {
	case TakeApart:
		var counts []int
		for _, g := range s.Gatherings {
			counts = append(counts, g.Sheets)
		}
		return reorder.Deal{Counts: counts}, true
	case KeepStacks:
		return reorder.Deal{Counts: s.Sheets}, true
	case CountOff:
		return reorder.Deal{Counts: s.Pieces}, true
	case TakeStacks:
		return reorder.Deal{Counts: s.Sheets}, true
	case CountOffStacks:
		return reorder.Deal{Counts: s.Pieces, Spare: s.Spare}, true
	case Hand:
		return s.Motion, true
	}
	return nil, false
}

// madeJob is a job with the book that its form makes.
type madeJob struct {
	Job
	book reorder.Book
}

// everyForm is jobs of all forms that A4 can be given, cut by the gathering and by the run.
func everyForm(t *testing.T) []madeJob {
	t.Helper()
	var all []madeJob
	for _, form := range reordertest.Most(t) {
		for _, byRun := range []bool{false, true} {
			if j, book, ok := jobOf(t, form, byRun); ok && (!byRun || form.Cut > 1) {
				all = append(all, madeJob{j, book})
			}
			form.ByPieces = form.Cut > 1 && byRun && form.Leaf == 0 && form.CutEdge == reorder.AnyEdge
			if j, book, ok := jobOf(t, form, byRun); ok && form.ByPieces {
				all = append(all, madeJob{j, book})
			}
		}
	}
	return all
}

// The tests make many small things: collecting them at four times the usual heap saves a fifth of the time.
func init() { debug.SetGCPercent(400) }

// planned is what jobOf has made.
var planned sync.Map

// jobOf is makeJob, done once for all tests, which only read it.
func jobOf(t *testing.T, form reorder.Form, byRun bool) (Job, reorder.Book, bool) {
	t.Helper()
	type key struct {
		reorder.Form
		byRun bool
	}
	type made struct {
		madeJob
		ok bool
	}
	if had, ok := planned.Load(key{form, byRun}); ok {
		m := had.(made)
		return m.Job, m.book, m.ok
	}
	j, book, ok := makeJob(t, form, byRun)
	planned.Store(key{form, byRun}, made{madeJob{j, book}, ok})
	return j, book, ok
}

// table is the planned sheets as they lie before the person.
func (m madeJob) table(t *testing.T) *paper.Table {
	t.Helper()
	var stack []paper.Sheet
	for _, s := range m.book.Sheets() {
		stack = append(stack, papertest.FromPlan(m.Paper.Size, s))
	}
	table, err := paper.NewTable(stack)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// makeJob is a job of the given form with a book for it, cut by the gathering or
// by the run.
func makeJob(t *testing.T, form reorder.Form, byRun bool) (Job, reorder.Book, bool) {
	t.Helper()
	j, _ := sample(printer.Usual, true, 3, 2)
	stacks := [][]int{{2}, {1}, {2}}
	switch s := form.Fold.Scheme(); {
	case s.OneStack:
		stacks = [][]int{{5}}
	case s.Alone:
		stacks = [][]int{{1}, {1}, {1}, {1}, {1}}
	case byRun:
		stacks = [][]int{{2, 1}, {2}}
	}
	pages := make([]int, form.PagesOf(5))
	for i := range pages {
		pages[i] = i + 1
	}
	book, err := reorder.Arrange(j.Paper.Size, form, pages, stacks)
	if err != nil {
		return j, book, false
	}
	j.Form, j.Gatherings = form, nil
	for _, g := range book.Gatherings {
		j.Gatherings = append(j.Gatherings, Gathering{Number: g.Number, First: book.CarriedBy(g.Number)[0], Sheets: len(g.Sheets), Pieces: form.Pieces(form.SizeFor(len(g.Pages)))})
	}
	if j.Handwork, err = form.Handwork(j.Paper.Size, stacks); err != nil {
		t.Fatal(err)
	}
	j.Runs[0].Top = planFaces(j.Paper.Size, book.Sheets()[0])
	return j, book, true
}

// Whoever follows the cutting and folding steps of the run sheet literally, in
// their order, and nothing else, has the book.
func TestMakingFollowed(t *testing.T) {
	books := 0
	for _, j := range everyForm(t) {
		table := j.table(t)
		for i, s := range Steps(Parts(j.Job)) {
			if m, is := motion(s); is {
				if err := table.Do(m); err != nil {
					t.Fatalf("%+v: step %d, %T: %v", j.Form, i+1, m, err)
				}
			}
		}
		read, err := table.Read()
		if err != nil {
			t.Fatalf("%+v: %v", j.Form, err)
		}
		var pages []int
		for _, g := range j.book.Gatherings {
			pages = append(pages, g.Pages...)
		}
		if len(pages)%2 == 1 {
			pages = append(pages, 0) // the back of a strip's last panel
		}
		for _, faces := range read {
			books++
			if err := papertest.Check(faces, papertest.Labels(pages)); err != nil {
				t.Fatalf("%+v: %v", j.Form, err)
			}
		}
	}
	t.Logf("%d books", books)
	if books < 200 {
		t.Errorf("only %d books were made", books)
	}
}

// No two ways of making a book have the same words.
func TestEachFormHasItsSteps(t *testing.T) {
	eachFormHasItsOwn(t, "words", func(s Step) string {
		text := s.Text()
		if len(text.Lead) == 0 {
			t.Errorf("%+v says nothing", s)
		}
		return fmt.Sprint(text.Lead, text.List, text.More)
	})
}

// eachFormHasItsOwn compares what all steps of a form say, or show, at the bench.
func eachFormHasItsOwn(t *testing.T, what string, of func(Step) string) {
	t.Helper()
	seen := map[string]string{}
	for _, j := range everyForm(t) {
		all := ""
		for _, s := range Steps(Parts(j.Job)) {
			if _, is := motion(s); is {
				all += of(s)
			}
		}
		did := fmt.Sprintf("%+v", j.Handwork)
		if other, ok := seen[all]; ok && other != did {
			t.Errorf("%+v: the same %s as for\n%s\nbut it is\n%s", j.Form, what, other, did)
		}
		seen[all] = did
	}
	if len(seen) < 40 {
		t.Errorf("only %d ways", len(seen))
	}
}

// Each motion is told; the words of every motion that goes two ways differ.
func TestMotionsHaveTheirWords(t *testing.T) {
	form := reorder.FolioForm
	hand := func(m reorder.Motion) Step { return Hand{Motion: m, Job: Job{Form: form}} }
	differ(t,
		hand(reorder.LayDown{Face: reorder.Back, Upright: geom.Down}), hand(reorder.LayDown{Face: reorder.Back, Upright: geom.Left}),
		hand(reorder.LayDown{Face: reorder.Back, Upright: geom.Down, Singly: true}), hand(reorder.LayDown{Face: reorder.Front, Upright: geom.Up}),
		hand(reorder.CutPile{Line: reorder.Level, At: 100, On: reorder.FarOverNear}), hand(reorder.CutPile{Line: reorder.Level, At: 100, On: reorder.NearOverFar}),
		hand(reorder.CutPile{Line: reorder.Level, At: 100, On: reorder.FarOverNear, Turn: true}), hand(reorder.CutPile{Line: reorder.Upright, At: 100, On: reorder.LeftOverRight}),
		hand(reorder.CutPile{Line: reorder.Upright, At: 100, On: reorder.RightOverLeft}), hand(reorder.CutApart{Line: reorder.Upright, At: 100}),
		hand(reorder.CutOffInset{Line: reorder.Level, At: 100}), hand(reorder.CutOffInset{Line: reorder.Upright, At: 100}), hand(reorder.LayIn{}),
		hand(reorder.FoldOver{Over: reorder.RightOverLeft}), hand(reorder.FoldOver{Over: reorder.LeftOverRight}), hand(reorder.FoldOver{Over: reorder.FarOverNear}), hand(reorder.FoldOver{Over: reorder.NearOverFar}),
		hand(reorder.SlitBolt{Edge: geom.Up, From: geom.Right}), hand(reorder.SlitBolt{Edge: geom.Right, From: geom.Up}), hand(reorder.NestPieces{}),
		hand(reorder.Join{To: geom.Right, At: 100}), hand(reorder.Join{To: geom.Left, At: 100}), hand(reorder.Join{To: geom.Down, At: 100}), hand(reorder.Pleat{Width: 100}),
		hand(reorder.Present{Spine: geom.Left}), hand(reorder.Present{Spine: geom.Left, TurnOver: true}), hand(reorder.Present{Spine: geom.Up, Quarters: 2}),
		hand(reorder.OpenBolts{Edges: []geom.Towards{geom.Up}}), hand(reorder.OpenBolts{Edges: []geom.Towards{geom.Up, geom.Right}}),
	)
	for _, over := range []reorder.Over{reorder.RightOverLeft, reorder.LeftOverRight, reorder.FarOverNear, reorder.NearOverFar} {
		if drawing.Halves[over] == [2]string{} {
			t.Errorf("%s has no words", over)
		}
	}
}

// What comes after the folding is what the way of binding asks for.
func TestWorkAfterFoldingFollowsTheStructure(t *testing.T) {
	for name, want := range map[string]struct{ has, hasNot string }{
		"case":        {"sew on tapes, glue up the spine, trim, round and back, line the spine, measure, cut boards and cloth, make the case", "lace"},
		"flat-back":   {"sew on tapes, glue up the spine, trim, line the spine, measure, cut boards and cloth, make the case", "round and back"},
		"cords":       {"sew on cords, glue up the spine, trim, round and back, measure, cut the boards and lace them on", "case"},
		"french-link": {"sew on tapes, glue up the spine, trim, line the spine, measure, cut boards and cloth, make the case", "round and back"},
		"link-stitch": {"sew, glue up the spine, trim, measure, cut the cover and glue it on", "tapes"},
		"long-stitch": {"sew each gathering through the cover", "case"},
		"pamphlet":    {"fold the cover around the gathering", "round and back"},
		"stab":        {"stab them with their cover", "round and back"},
	} {
		rules, err := structure.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := orderOfWork(rules).String(); !strings.Contains(got, want.has) || strings.Contains(got, want.hasNot) {
			t.Errorf("%s: %s", name, got)
		}
	}
	if n := len(structure.Names()); n != 8 {
		t.Errorf("%d ways of binding, 8 are looked at", n)
	}
}

// Where a job is measured in inches, no length is told in millimetres first.
func TestLengthsAreToldInTheUnitOfTheJob(t *testing.T) {
	j, _ := sample(printer.Usual, true, 5)
	j.Paper, _ = reorder.ParsePaper("letter")
	j.Units, j.Guessed = binding.Inches, true
	j.Leaf, j.Trim = geom.Size{W: 139.7, H: 215.9}, reorder.Trim{Head: 3.175, Tail: 3.175, ForeEdge: 3.175}
	second, millimetres := regexp.MustCompile(`\([\d. x]+ mm\)`), regexp.MustCompile(`.{20}\d mm`)
	for _, form := range []reorder.Form{
		{Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft}, {Fold: reorder.Octavo, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft},
		{Fold: reorder.Concertina, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft, Overlap: 10},
	} {
		j.setForm(form)
		words := wordsOf(Parts(j))
		for _, found := range millimetres.FindAllString(second.ReplaceAllString(words, ""), -1) {
			t.Errorf("%s: %q", form.Fold, found)
		}
		if !strings.Contains(words, "1/8 in (3.2 mm)") {
			t.Errorf("%s: what is trimmed is not told in inches", form.Fold)
		}
	}
}
