package learn

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

var a4 = reorder.Paper{Name: "iso_a4_210x297mm", Size: geom.Size{W: 210, H: 297}}

// typed are answers to questions that are typed: some good, some in contradiction, some no answers.
var typed = map[string][]string{
	"sheets": {"1", "3", "3", "3"}, "tray-sheets": {"50", "none", ""}, "paper": {"", "a4", "letter", "a9"},
	"ruler-front": {"", "170, 250", "163.25, 240", "168; 247", "17, 25", "x"}, "ruler-back": {"", "170 250", "163.25, 240"},
	"mark": {"", "20, 23.5", "20,5; 23,5", "200, 3"}, "shift-1": {"0.5, 0, 0.5, 0", "", "12, 0"}, "shift-2": {"0,5; 0; 0,5; 0", ""},
	"shift-3": {"", "1, 2, 3"}, "edges-1": {"4, 4, 12, 4", "", "4, 4, 200, 4"}, "edges-2": {"", "4 4 12 5"},
}

// drawn is an answer to a question, which it may not be.
func drawn(q Question, r *rand.Rand) string {
	if list := typed[q.ID]; list != nil {
		return list[r.IntN(len(list))]
	}
	if q.Skip != "" && r.IntN(4) == 0 {
		return ""
	}
	return q.Choices[r.IntN(len(q.Choices))].Word
}

// state is what can be seen of an interview.
func state(i *Interview) (out struct {
	Question Question
	Open     bool
	Heard    Heard
	Paper    reorder.Paper
	Given    []Given
	Last     Outcome
}) {
	out.Question, out.Open = i.Next()
	out.Heard, out.Paper = i.Heard()
	out.Given, _ = i.Given()
	out.Last = i.Last()
	return out
}

func begun(t *testing.T) *Interview {
	t.Helper()
	i, err := Begin(a4, Heard{})
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// TestAnInterviewIsItsAnswers: after every answer, also one that contradicts others, it can be gone on with from the
// answers alone, and an answer that is taken back is proposed and, given again, leaves everything as it was.
func TestAnInterviewIsItsAnswers(t *testing.T) {
	r := sample.Random(t)
	doubts, refused, ended := 0, 0, 0
	for range 12 {
		i := begun(t)
		for range 60 {
			q, open := i.Next()
			if !open {
				ended++
				break
			}
			before := state(i)
			answer := drawn(q, r)
			came, err := i.Answer(answer)
			if err != nil {
				refused++
				if now := state(i); !reflect.DeepEqual(now, before) {
					t.Fatalf("%q to %s was refused and changed something\n%+v\n%+v", answer, q.ID, before, now)
				}
				continue
			}
			if came.Doubt != nil {
				doubts++
			}
			if r.IntN(3) > 0 && !sample.Full() {
				continue
			}
			after := state(i)
			given, kept := i.Given()
			again, err := Resume(a4, Heard{}, given, kept)
			if err != nil || !reflect.DeepEqual(state(again), after) {
				t.Fatalf("after %v it goes on otherwise: %v\n%+v\n%+v", given, err, after, state(again))
			}
			if !again.TakeBack() {
				t.Fatal("nothing can be taken back")
			}
			if back, open := again.Next(); !open || back.ID != q.ID || back.Before != answer {
				t.Fatalf("%q to %s was taken back, and is asked as %+v", answer, q.ID, back)
			}
			if _, err := again.Answer(answer); err != nil || !reflect.DeepEqual(state(again), after) {
				t.Fatalf("%q to %s once more makes a difference: %v", answer, q.ID, err)
			}
		}
	}
	if doubts == 0 || refused == 0 || ended == 0 {
		t.Errorf("%d doubts, %d refused, %d ended: nothing was seen of one of them", doubts, refused, ended)
	}
}

// TestNothingCanBeTakenBackAtTheBeginning and nothing answered at the end.
func TestNothingCanBeTakenBackAtTheBeginning(t *testing.T) {
	i := begun(t)
	if i.TakeBack() {
		t.Error("something was taken back")
	}
	for _, answer := range []string{"automatic", "1", "K2", "", "no", "", "", ""} {
		if _, err := i.Answer(answer); err != nil {
			t.Fatal(err)
		}
	}
	if q, open := i.Next(); open {
		t.Fatalf("still asked: %+v", q)
	}
	if _, err := i.Answer("K2"); err == nil {
		t.Error("an answer to nothing was taken")
	}
}

// TestAnswersOfAnotherVersion: what is not asked any more ends what is gone on with, and is only proposed.
func TestAnswersOfAnotherVersion(t *testing.T) {
	given := []Given{{"two-sided", "by-hand"}, {"moon", "full"}, {"reload", "rotate"}}
	i, err := Resume(a4, Heard{}, given, nil)
	if err != nil {
		t.Fatal(err)
	}
	now, kept := i.Given()
	if !slices.Equal(now, given[:1]) || kept["reload"] != "rotate" {
		t.Errorf("%v, kept %v", now, kept)
	}
}

// TestDoubtsSayWhatWasAnswered in words.
func TestDoubtsSayWhatWasAnswered(t *testing.T) {
	i := begun(t)
	var came Outcome
	for _, answer := range []string{"by-hand", "1", "as-delivered", "K1", "printed", "face-down"} {
		var err error
		if came, err = i.Answer(answer); err != nil {
			t.Fatal(err)
		}
	}
	if came.Doubt == nil || came.Doubt.Named {
		t.Fatalf("%+v", came.Doubt)
	}
	if !slices.Contains(came.Doubt.Told, Told{"the number at the pin hole", "the number 1"}) {
		t.Errorf("told %+v", came.Doubt.Told)
	}
	if q, _ := i.Next(); q.ID != "reload" || q.Before != "as-delivered" {
		t.Errorf("then asked: %+v", q)
	}
}
