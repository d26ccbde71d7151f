package runsheet

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/drawing"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// differ fails unless the texts of all steps differ from each other.
func differ(t *testing.T, steps ...Step) {
	t.Helper()
	seen := map[string]Step{}
	for _, s := range steps {
		text := s.Text()
		all := text.Lead.String()
		for _, m := range slices.Concat(text.More, text.List, []Sentence{text.Else}) {
			all += "\n" + m.String()
		}
		if text.Lead.String() == "" || strings.Contains(all, "{}") || strings.Contains(all, "not given") {
			t.Errorf("%#v says %q", s, all)
		}
		if other, ok := seen[all]; ok {
			t.Errorf("%#v says the same as %#v: %q", s, other, all)
		}
		seen[all] = s
	}
}

// Every value of every fact has words of its own, where it is told and where
// it is acted on.
func TestEachValueHasItsWords(t *testing.T) {
	var facts []Step
	told := map[string]bool{}
	for _, f := range virtual.All() {
		for _, fact := range Facts(profiles.Profile{Facts: f}) {
			if key := fact.Name + " " + fact.Value; !told[key] {
				told[key] = true
				facts = append(facts, Text{Lead: fact.Says})
			}
		}
	}
	if len(facts) != 18 { // seven facts of two values and one of four
		t.Errorf("%d values are told, want 18", len(facts))
	}
	differ(t, facts...)
	if a, b := factSays["front lands face-up"].String(), factSays["front lands face-down"].String(); a == b || a == "" {
		t.Errorf("an automatic printer's sheets land %q and %q", a, b)
	}
	differ(t, PutBack{Reload: printer.AsDelivered}, PutBack{Reload: printer.RotateHalf}, PutBack{Reload: printer.TurnLong}, PutBack{Reload: printer.TurnShort})
	differ(t, LoadFresh{Sheets: 3}, LoadFresh{Sheets: 3, FeedFace: printer.FeedUp}, LoadFresh{Sheets: 3, FeedFace: printer.FeedDown}, LoadFresh{Sheets: 4})
	differ(t, pageOrderStep(printer.FirstPageFirst), pageOrderStep(printer.LastPageFirst))
	differ(t, MeasureRule{100, Job{}}, MeasureRule{50, Job{}}, pushPinStep([]string{"A"}), pushPinStep([]string{"A", "B"}), LoadOne{}, oneAsStackStep, elseStopStep(Program{}))
	differ(t, twoSidedStep(false), twoSidedStep(true))
	differ(t, TakeOut{TurnOver: false}, TakeOut{TurnOver: true})
	differ(t, PrintFile{Pass: printer.FrontPass}, PrintFile{Pass: printer.BackPass}, PrintFile{Pass: printer.BothPass})
	stack := func(where drawing.Where, sheets int, top, bottom string, fronts drawing.Side) drawing.Stack {
		s := drawing.Stack{Where: where, Sheets: sheets, Top: top, Bottom: bottom, Up: drawing.Front, Under: drawing.Blank}
		if fronts == drawing.Lower {
			s.Up, s.Under = s.Under, s.Up
		}
		return s
	}
	var looks []Step
	for _, where := range []drawing.Where{drawing.Delivery, drawing.Tray, drawing.Table, drawing.Aside} {
		for _, fronts := range []drawing.Side{drawing.Upper, drawing.Lower} {
			looks = append(looks, LookAt{stack(where, 2, "a", "b", fronts)}, LookAt{stack(where, 2, "b", "a", fronts)}, LookAt{stack(where, 2, "", "", fronts)}, LookAt{stack(where, 1, "a", "a", fronts)})
		}
	}
	differ(t, looks...)
	differ(t, LoadOne{ScrapFace: printer.FeedUp}, LoadOne{ScrapFace: printer.FeedDown}, leaveGuideStep, PutInPlace{"7", true, false}, PutInPlace{"7", false, false}, PutInPlace{"8", true, false}, PutInPlace{"8", true, true})
	like := func(sheets int, top, bottom string, fronts drawing.Side) Step {
		return LayLike{stack(drawing.Delivery, sheets, top, bottom, fronts)}
	}
	differ(t, like(1, "a", "a", drawing.Upper), like(1, "a", "a", drawing.Lower), like(2, "a", "b", drawing.Upper), like(2, "b", "a", drawing.Upper), like(2, "a", "b", drawing.Lower))
	differ(t, interruptedNote(3, "f"), interruptedNote(4, "f"), putAwayStep(3, "a"), putAwayStep(4, "a"), putAwayStep(3, ""), SetAside{printer.OnTop}, SetAside{printer.Beneath},
		stayInTrayStep(""), stayInTrayStep("4"), TakeFromTray{printer.FromTop, ""}, TakeFromTray{printer.FromBottom, ""}, TakeFromTray{printer.FromTop, "4"})
	differ(t, LoadTest{}, MeasureTest{}, printTestStep("a", printer.FrontPass), printTestStep("a", printer.BackPass), printTestStep("a", printer.BothPass), ReadTop{}, ReadTop{true}, LoadBook{}, countPileStep(3), countPileStep(4), PutBackAsFound{})
	two, one := StartRun{Sheets: 2, First: "a", Last: "b"}, StartRun{Sheets: 1, First: "a", Last: "a"}
	differ(t, FrontsUp{StartRun{}, false}, FrontsUp{two, false}, FrontsUp{one, false}, FrontsUp{two, true}, FrontsUp{one, true}, FrontsUp{StartRun{}, true})
	differ(t, ReadPin{PutBack: []PutBackRead{{"K2", printer.AsDelivered}}}, ReadPin{PutBack: []PutBackRead{{"K1", printer.AsDelivered}}}, ReadPin{PutBack: []PutBackRead{{"K1", printer.TurnLong}}}, ReadPin{PutBack: []PutBackRead{{"K1", printer.TurnShort}}})
	differ(t, ReadPin{Edges: []EdgeRead{{"K2", printer.LongEdge}}}, ReadPin{Edges: []EdgeRead{{"K4", printer.LongEdge}}}, ReadPin{Edges: []EdgeRead{{"K4", printer.ShortEdge}}})
	differ(t, printChosenStep(ByTop{"a", "b"}, "the front", false), printChosenStep(ByTop{"a", "b"}, "the back", false), printChosenStep(ByTop{"a", "b"}, "the back", true), printChosenStep(ByTop{"b", "a"}, "the back", true), printChosenStep(ByTop{"a", "a"}, "the back", true))
	differ(t, reprintLostStep("4", Program{Folder: "a"}), reprintLostStep("4,5", Program{Folder: "a"}), reprintLostStep("4", Program{Folder: "b"}))
	differ(t, PrintRemainder{"a", "b", "2-3", printer.FrontPass, ""}, PrintRemainder{"a", "b", "2-3", printer.BackPass, ""}, PrintRemainder{"a", "b", "2-3", printer.BothPass, ""}, PrintRemainder{"a", "b", "2-4", printer.BothPass, ""})
	differ(t, reprintNote("7", true), reprintNote("7", false), reprintNote("7,8", false))
	differ(t, actualSize, noFitting, noCentring, onePerSheet, oneCopy, allPages, keepBlanks, noTurning, noBooklet, sameOrder, noHandHelp)
	differ(t, askedEarly, leftOver, jam)
	differ(t, manualFirst, cleanSheets, hotParts, knives, needles, adhesives)
	for _, parts := range sampleParts() {
		for _, p := range parts {
			for _, s := range p.Stages {
				var notes []Step
				for _, n := range s.Notes {
					notes = append(notes, n)
				}
				differ(t, notes...)
				for _, step := range s.Steps {
					differ(t, step)
				}
			}
		}
	}
}

// Changing one fact of a printer changes the run sheet. The jobs bear the same
// names throughout, so only the words can differ.
func TestEachPrinterHasItsSheet(t *testing.T) {
	seen := map[string]printer.Facts{}
	for _, f := range virtual.All() {
		j, _ := sample(f, true, 4)
		all := wordsOf(Parts(j))
		if other, ok := seen[all]; ok {
			t.Errorf("%+v and %+v have the same run sheet", f, other)
		}
		seen[all] = f
	}
	if len(seen) != 144 {
		t.Errorf("%d run sheets, want 144", len(seen))
	}
}

// Grain, Roberts and Etherington: "the grain or machine direction running from
// head to tail". Grain-long paper is right for even numbers of halvings:
// quarto, sixteenmo, cut 2 and folio; wrong for odd ones: folio, octavo, cut 2
// and quarto, cut 4 and folio.
func TestGrain(t *testing.T) {
	for _, c := range []struct {
		fold reorder.Fold
		cut  int
		long bool
	}{
		{reorder.Quarto, 1, true}, {reorder.Sixteenmo, 1, true}, {reorder.Folio, 2, true},
		{reorder.Folio, 1, false}, {reorder.Octavo, 1, false}, {reorder.Quarto, 2, false}, {reorder.Folio, 4, false},
	} {
		j := usualJob()
		j.Form.Fold, j.Form.Cut = c.fold, c.cut
		if got := grainNote(j).Lead.String(); strings.Contains(got, "grain runs along its long edge it does") != c.long {
			t.Errorf("%s, cut %d: long %v, but %s", c.fold, c.cut, c.long, got)
		}
		for _, grain := range []profiles.Grain{profiles.GrainLong, profiles.GrainShort} {
			j.Own = profiles.Paper{Name: "ivory", Grain: grain, Tray: "manual"}
			s := paperDrawer(j)
			got := s.Notes[1].Text().Lead.String()
			if right := (grain == profiles.GrainLong) == c.long; strings.Contains(got, "as it should") != right || strings.Contains(got, "across the spine") == right {
				t.Errorf("%s, cut %d, own paper with its grain along the %s edge: %s", c.fold, c.cut, grain, got)
			}
			if says := s.Notes[0].Text().Lead.String(); !strings.Contains(says, "ivory") || !strings.Contains(says, "manual") || len(s.Notes) != 2 {
				t.Errorf("%s, %d notes", says, len(s.Notes))
			}
		}
	}
	a4, _ := reorder.ParsePaper("a4")
	a3, _ := reorder.ParsePaper("a3")
	letter, _ := reorder.ParsePaper("letter")
	ledger, _ := reorder.ParsePaper("ledger")
	if doubleSize(a4.Size) != a3.Size || doubleSize(letter.Size) != ledger.Size {
		t.Errorf("twice a4 is %s, twice letter %s", doubleSize(a4.Size), doubleSize(letter.Size))
	}
}

// LookThrough says that the heads of all pages lie at one long edge.
func TestHeadsLieAtOneLongEdge(t *testing.T) {
	a4, _ := reorder.ParsePaper("a4")
	for _, bind := range []reorder.Bind{reorder.BindLeft, reorder.BindRight} {
		form := reorder.FolioForm
		form.Bind = bind
		book, err := reorder.Arrange(a4.Size, form, []int{1, 2, 3, 4, 5, 6, 7, 8}, [][]int{{2}})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range book.Sheets() {
			for _, p := range s.Front {
				if p.Head != s.Front[0].Head || p.Head != geom.Left && p.Head != geom.Right {
					t.Errorf("sheet %d, front: a head at %v", s.Number, p.Head)
				}
			}
			for _, p := range s.Back { // seen after turning about the long edge: the other side is the same edge
				if p.Head == s.Front[0].Head || p.Head != geom.Left && p.Head != geom.Right {
					t.Errorf("sheet %d, back: a head at %v", s.Number, p.Head)
				}
			}
		}
	}
	form := reorder.FolioForm
	form.Fold = reorder.Quarto
	if headEdge(form) != 0 || headEdge(reorder.FolioForm) != printer.LongEdge {
		t.Error("headsAt")
	}
}

func TestPaperWords(t *testing.T) {
	for in, want := range map[string]string{
		"a4":        "A4, 210 x 297 mm (8.27 x 11.69 in)",
		"letter":    "Letter, 215.9 x 279.4 mm (8.5 x 11 in)",
		"iso-b5":    "ISO B5, 176 x 250 mm (6.93 x 9.84 in)",
		"jis-b5":    "JIS B5, 182 x 257 mm (7.17 x 10.12 in)",
		"ledger":    "Ledger (Tabloid), 279.4 x 431.8 mm (11 x 17 in)",
		"200x300mm": "own size, 200 x 300 mm (7.87 x 11.81 in)",
	} {
		p, err := reorder.ParsePaper(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := (Job{Paper: p, Units: binding.MM}).paperAndSize(); got != want {
			t.Errorf("%s: %q, want %q", in, got, want)
		}
	}
}

// sampleParts is run sheets and kits that between them hold every part.
func sampleParts() map[string][]Part {
	late, _ := sample(printer.Usual, true, 4)
	late.SideNames = false
	for i := range late.Runs[0].Files {
		late.Runs[0].Files[i].FirstOut, late.Runs[0].Files[i].LastOut = "", ""
	}
	split := usualJob()
	split.Guessed, split.Profile.TraySheets = false, 2
	octavo, loose := automaticJob(), usualJob()
	octavo.setForm(reorder.Form{Fold: reorder.Octavo, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft})
	loose.Gatherings = loose.Gatherings[:1]
	loose.setForm(reorder.Form{Fold: reorder.Loose, Cut: 1, Nest: reorder.Inset, Bind: reorder.BindLeft})
	return map[string][]Part{
		"octavo": Parts(octavo), "loose": Parts(loose),
		"usual": Parts(usualJob()), "automatic": Parts(automaticJob()), "no side names": Parts(late), "split": Parts(split),
		"kit": KitParts(kitSample(false)), "kit of one face": KitParts(kitSample(true)),
	}
}

// Every trade word is explained where it first stands, and where it is first shown without a
// tap; and nowhere else.
func TestTradeWords(t *testing.T) {
	used := map[string]bool{}
	for name, parts := range sampleParts() {
		var shown, shut []Sentence // in the order of the page
		for _, p := range tell(parts) {
			for _, s := range p.Stages {
				for _, x := range slices.Concat(s.Notes, s.Steps) {
					if p.Shut {
						shut = append(shut, x.sentences()...)
					} else {
						shown = append(shown, x.sentences()...)
					}
					shut = append(shut, x.More...)
				}
				for _, d := range s.Drawers {
					for _, x := range d.Notes {
						if d.Open && !p.Shut {
							shown = append(shown, x.sentences()...)
						} else {
							shut = append(shut, x.sentences()...)
						}
						shut = append(shut, x.More...)
					}
				}
			}
		}
		for _, w := range tradeWords {
			spoken := regexp.MustCompile(`(?i)\b` + w.word + `(s|ing|ed)?\b`)
			explained, first := 0, -1
			for i, s := range shown {
				for _, span := range s {
					if span.Mark == Word && span.To == w.word && span.Says != "" {
						if explained++; first >= 0 && first != i {
							t.Errorf("%s: %q is explained in %q only, not in %q", name, w.word, s, shown[first])
						}
					}
				}
				if first < 0 && spoken.MatchString(plainWords(s)) {
					first = i
				}
			}
			if first >= 0 && explained != 1 {
				t.Errorf("%s: %q is explained %d times, first spoken of in %q", name, w.word, explained, shown[first])
			}
			more := 0
			for _, s := range shut {
				for _, span := range s {
					if span.Mark == Word && span.To == w.word && span.Says != "" {
						more++
					}
				}
			}
			if more > 1 {
				t.Errorf("%s: %q is explained %d times behind taps", name, w.word, more)
			}
			used[w.word] = used[w.word] || explained+more > 0
		}
	}
	for _, w := range tradeWords {
		if !used[w.word] {
			t.Errorf("%s is never used", w.word)
		}
	}
}

var tradeWords = []term{
	wProfile, wTray, wDelivery, wTestSheet, wFront, wGathering, wLeaf, wSpine, wTrim, wCreep, wVolume, wRun, wPrintDialog, wTwoSided,
	wFlipLong, wFan, wSideName, wDoubleFeed, wGrain, wNest, wCollate, wBolt, wStab, wPierce, wRound, wLine, wCase,
}

// plainWords is what a sentence says without literals and without the comparisons that
// use a trade word in its everyday sense.
func plainWords(s Sentence) string {
	var b strings.Builder
	for _, span := range s {
		if span.Mark != Literal && span.Mark != Link {
			b.WriteString(span.Text)
		}
	}
	return strings.NewReplacer("leaf of a wall calendar", "", "In every other case", "", "Leaf through", "", "leaf through", "", "run the crease", "", "runs across", "", "runs along", "", "runs straighter", "", "run along", "", "even line of glue", "", "its fronts", "").Replace(b.String())
}
