package pressroom

import (
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/desk/asking"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles/lock"
	"foldwright/reorder/refusal"
	"foldwright/reorder/sample"
)

type now = asking.Now

// TestWhoFollowsThePagesHasTheBook on whatever printer.
func TestWhoFollowsThePagesHasTheBook(t *testing.T) {
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		for n, c := range []struct {
			tray    int
			choices map[string]string
		}{{0, nil}, {3, map[string]string{"run": "8"}}, {0, map[string]string{"fold": "quarto", "sheets": "2"}}} {
			if !sample.Full() && n != i%3 {
				continue
			}
			t.Run(fmt.Sprint(i, c.choices), func(t *testing.T) {
				v := visit(t, facts, c.tray, c.choices)
				v.print(nil)
				v.ReadBook(v.Folder)
			})
		}
	}
}

// TestJamDoubleFeedAndSpoiledSheet at drawn places: what is left is printed, and what was lost once more.
func TestJamDoubleFeedAndSpoiledSheet(t *testing.T) {
	random, backs := sample.Random(t), 0
	for i, facts := range sample.Of(t, virtual.All(), 1, 0, 130) {
		passes := []int{3, 4} // after the two of the check sheet
		if facts.TwoSided == printer.Automatic {
			passes = []int{2}
		}
		for n, pass := range passes {
			faults := []string{"jam", "double feed", "spoiled"}
			if !sample.Full() {
				faults = faults[random.IntN(3):][:1]
				if i == 0 { // which is always tried
					faults = []string{"double feed"}
				}
			}
			for _, fault := range faults {
				t.Run(fmt.Sprint(i, " pass ", n+1, " ", fault), func(t *testing.T) {
					v := visit(t, facts, 0, nil)
					good := random.IntN(7)
					var ruined []int
					if n == 1 { // the sheet that went along is blank on its back and goes back; the next has a wrong one
						ruined = map[string][]int{"double feed": {good + 1}, "spoiled": {good, good + 2}}[fault]
						backs += len(ruined)
					}
					asked := false
					v.Jam = func(document int) int {
						if document == pass {
							return good
						}
						return -1
					}
					v.Ruined = func(int) []int { return slices.Clone(ruined) }
					v.Answer = func(said string) string {
						sheets := func() []int { sent := v.Journal().Sent; return sent[len(sent)-1].Sheets }
						switch {
						case strings.Contains(said, "last good sheet"):
							asked = true
							if good == 0 {
								return "nothing"
							}
							return fmt.Sprint(sheets()[good-1])
						case strings.Contains(said, "are spoiled") && len(ruined) > 0:
							var lost []string
							for _, at := range ruined {
								lost = append(lost, fmt.Sprint(sheets()[at]))
							}
							return strings.Join(lost, ",")
						case strings.Contains(said, "are spoiled"):
							return "nothing"
						}
						return ""
					}
					v.print(nil)
					if !asked || len(v.lost) != len(ruined) {
						t.Fatalf("asked %t, printed once more %v of %v", asked, v.lost, ruined)
					}
					v.readMended()
				})
			}
		}
	}
	if backs == 0 {
		t.Error("no sheet was ever spoiled")
	}
}

// TestOldPagesAndSecondWindowsChangeNothing, and only one press of a job runs.
func TestOldPagesAndSecondWindowsChangeNothing(t *testing.T) {
	v := visit(t, virtual.All()[0], 0, nil)
	if status, said := v.post(at0+"/begin", nil); status != http.StatusBadRequest || !strings.Contains(said, "No printer was chosen") {
		t.Errorf("%d %s", status, words(said))
	}
	v.post(at0+"/begin", url.Values{"to": {v.Peer.URI}})
	v.wait()
	one, other := v.get(at0), v.get(at0)
	if one != other || !strings.Contains(one, "It lies in the tray: print") {
		t.Fatalf("two windows differ: %s", words(one))
	}
	if status, said := v.post(at0+"/begin", url.Values{"to": {v.Peer.URI}}); status != http.StatusConflict {
		t.Errorf("begun twice: %d %s", status, words(said))
	}
	v.reply(one)
	v.wait()
	if status, said := v.post(at0+"/answer", url.Values{"question": {group(number, other)}, "answer": {"yes"}}); status != http.StatusConflict || !strings.Contains(said, "answered already") {
		t.Errorf("%d %s", status, words(said))
	}
	if n := len(v.Peer.Jobs); n != 1 {
		t.Errorf("%d jobs were sent", n)
	}
	v.print(nil)
	v.ReadBook(v.Folder)
}

// TestWhatHindersPrintingIsTold, with what helps, and nothing is printed.
func TestWhatHindersPrintingIsTold(t *testing.T) {
	v := visit(t, virtual.All()[0], 0, nil)
	begin := func(form url.Values, want string) {
		t.Helper()
		v.post(at0+"/begin", form)
		v.wait()
		text := v.get(at0)
		if !strings.Contains(words(text), "Printing has stopped") || !strings.Contains(words(text), want) {
			t.Errorf("%s", words(text))
		}
		v.post(at0+"/closed", nil)
	}
	begin(url.Values{"to": {"ipp://127.0.0.1:9/ipp/print"}}, "127.0.0.1:9")
	begin(url.Values{"to": {v.Peer.URI}, "tray": {"attic"}}, "attic")
	held, err := lock.Acquire(filepath.Join(v.Folder, plan.PrintingLock)) // as another program does that prints it
	if err != nil {
		t.Fatal(err)
	}
	begin(url.Values{"to": {v.Peer.URI}}, "is being printed by another")
	if err := held.Release(); err != nil {
		t.Fatal(err)
	}
	if status, said := v.post(at0+"/begin", url.Values{"to": {v.Peer.URI}, "no-check": {"yes"}}); status != http.StatusBadRequest {
		t.Errorf("%d %s", status, words(said))
	}
	if len(v.Peer.Jobs) > 0 {
		t.Errorf("%d jobs", len(v.Peer.Jobs))
	}
	v.post(at0+"/begin", url.Values{"to": {v.Peer.URI}})
	v.wait()
	if err := plan.CheckIdle(v.Folder); refusal.Of(err) != refusal.Output {
		t.Errorf("the files of what is being printed may be replaced: %v", err)
	}
	v.post(at0+"/stop", nil)
	if err := plan.CheckIdle(v.Folder); err != nil {
		t.Error(err)
	}
	if text := v.get(at0); !strings.Contains(text, "Printing has stopped") {
		t.Errorf("%s", words(text))
	}
	v.print(nil)
	v.ReadBook(v.Folder)
}
