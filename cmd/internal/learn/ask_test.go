package learn

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"foldwright/printer"
	"foldwright/printer/learning"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// talkOn is a conversation about A4 paper with the given answers.
func talkOn(in io.Reader, out io.Writer) Conversation {
	return Conversation{
		In: in, Out: out,
		Paper: reorder.Paper{Name: "iso_a4_210x297mm", Size: geom.Size{W: 210, H: 297}},
	}
}

// screen keeps what is written, and tells when a question waits for its answer.
type screen struct {
	strings.Builder
	asked func()
}

func (s *screen) Write(data []byte) (int, error) {
	defer func() {
		if strings.HasSuffix(s.String(), "> ") {
			s.asked()
		}
	}()
	return s.Builder.Write(data)
}

// TestInterruptAtAQuestion: nobody types anything.
func TestInterruptAtAQuestion(t *testing.T) {
	silent, _ := io.Pipe()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	out := screen{asked: cancel}
	if _, _, err := Ask(ctx, talkOn(silent, &out), Heard{}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if !strings.HasSuffix(out.String(), "> \n") {
		t.Errorf("the terminal is left with %q", out.String())
	}
}

// TestEveryQuestionCanBeReadInASmallWindow and says what to do, without words
// that only printers know.
func TestEveryQuestionCanBeReadInASmallWindow(t *testing.T) {
	var out strings.Builder
	answers := "1\n3\n1\n4\n1\n2\n2\n2\n1\n1\n\n170,250\n170,250\n20,23.5\n0,0,0,0\n0,0,0,0\n0,0,0,0\n4,4,4,4\n4,4,4,4\n1\n50\n1\n"
	heard, _, err := Ask(t.Context(), talkOn(strings.NewReader(answers), &out), Heard{})
	if err != nil {
		t.Fatalf("%v after\n%s", err, out.String())
	}
	if len(heard.Shifts) != 3 || len(heard.Edges) != 2 || heard.RulerBack.W != 170 || heard.Mark == nil || heard.TraySheets != 50 {
		t.Errorf("heard %+v", heard)
	}
	for line := range strings.Lines(out.String()) {
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 90 {
			t.Errorf("%d letters: %s", n, line)
		}
	}
	for _, word := range []string{"duplex", "recto", "verso", "registration", "simplex", "tumble"} {
		if strings.Contains(strings.ToLower(out.String()), word) {
			t.Errorf("a question speaks of %s", word)
		}
	}
}

// TestFlagsAreNotAskedAgain: what is known is not asked.
func TestFlagsAreNotAskedAgain(t *testing.T) {
	var out strings.Builder
	given := Heard{Answers: learning.Answers{TwoSided: printer.ByHand, Reload: printer.RotateHalf, Pencil: learning.OnPrinted}}
	heard, _, err := Ask(t.Context(), talkOn(strings.NewReader("1\n2\n2\n2\n1\n9\n\n"), &out), given)
	if err != nil {
		t.Fatalf("%v after\n%s", err, out.String())
	}
	if heard.Reload != printer.RotateHalf || heard.Reading != learning.K2 {
		t.Errorf("heard %+v", heard)
	}
	for _, asked := range []string{"How did you print", "how did you put", "pencil cross on"} {
		if strings.Contains(out.String(), asked) {
			t.Errorf("asked all the same: %s", asked)
		}
	}
}

// TestMeasuredOnOneFace: nothing tells how far backs lie from fronts.
func TestMeasuredOnOneFace(t *testing.T) {
	h := Heard{Answers: learning.Answers{Reload: printer.AsDelivered, Reading: learning.K1}}
	if err := h.AddShift("1, 2"); err != nil {
		t.Fatal(err)
	}
	_, err := h.Conclude("desk", learning.Sheet{})
	var e *learning.Contradiction
	if !errors.As(err, &e) || e.Again[1] != learning.AskShift {
		t.Errorf("%v", err)
	}
}

func TestNumbers(t *testing.T) {
	var h Heard
	for text, ok := range map[string]bool{
		"1,2": true, "1, -2.5": true, "1 2": true, "1mm,2mm": true, "1 mm, 2 mm": true, "1,2,3,4": true, "1,5 -2,25": true, "1,5; 2": true,
		"": false, "1": false, "1,2,3": false, "a,b": false, "NaN,1": false, "1,inf": false, "1,5": true,
	} {
		err := h.AddShift(text)
		if (err == nil) != ok || !ok && refusal.Of(err) != refusal.Use {
			t.Errorf("%q: %v", text, err)
		}
	}
	for _, text := range []string{"0.5, -0.25, 0.75, 0", "0.5,-0.25,0.75,0", "0,5 -0,25 0,75 0", "0,5; -0,25; 0,75; 0", "0,5, -0,25, 0,75, 0", "0.5 mm -0.25 mm 0.75 mm 0 mm"} {
		var e Heard
		if err := e.AddEdges(text); err != nil || e.Edges[0] != (printer.KeepClear{Head: 0.5, Right: -0.25, Tail: 0.75}) {
			t.Errorf("%q is read as %+v, %v", text, e.Edges, err)
		}
	}
	var skew Heard
	if err := skew.SetSkew("0,5"); err != nil || *skew.Skew != 0.5 {
		t.Errorf("0,5 is read as %v, %v", skew.Skew, err)
	}
	var four Heard
	if err := four.AddShift("1, 2, 0.5, 3"); err != nil || four.Shifts[0] != (printer.Shift{Right: 0.75, Up: 2.5}) || *four.Skew != 0.5 {
		t.Errorf("four readings: %+v, %v", four, err)
	}
}

func TestWrapped(t *testing.T) {
	long := strings.Repeat("word ", 40)
	for line := range strings.Lines(wrap("  "+long, "      ")) {
		if n := len(strings.TrimSuffix(line, "\n")); n > width {
			t.Errorf("%d letters: %q", n, line)
		}
	}
	if got := wrap("  1  yes\nno", ""); got != "  1 yes no" {
		t.Errorf("%q", got)
	}
}

// TestReasonsAreToldAtOnce: what follows from an answer is said with the answers that it
// follows from.
func TestReasonsAreToldAtOnce(t *testing.T) {
	var out strings.Builder
	if _, _, err := Ask(t.Context(), talkOn(strings.NewReader("1\n1\n1\n4\n1\n2\n2\n1\n50\n1\n"), &out), Heard{}); err != nil {
		t.Fatalf("%v after\n%s", err, out.String())
	}
	said := strings.Join(strings.Fields(out.String()), " ")
	for _, want := range []string{
		"You put the stack back for the other. This follows from how you printed the test sheet.",
		"turned over about its short edge. This follows from how you put the paper back and the number at the pin hole.",
		"in the tray gets printed. This follows from where the pencil cross is.",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("not said: %s\n%s", want, out.String())
		}
	}
}

// TestSizesInDoubtAreAsked: a printer may print 1.2 percent too small, and so may a
// dialog that fits the page to the paper; the person knows what the dialog said.
func TestSizesInDoubtAreAsked(t *testing.T) {
	const upTo, after = "1\n1\n1\n4\n1\n2\n1\n\n", "1\n50\n1\n"
	for answer, want := range map[string]geom.Size{"1": {W: 168, H: 247}, "2": {}} {
		var out strings.Builder
		rest := after
		if answer == "1" {
			rest = "\n\n\n" + after // mark, shift, edges
		}
		heard, _, err := Ask(t.Context(), talkOn(strings.NewReader(upTo+"168, 247\n\n"+answer+"\n"+rest), &out), Heard{})
		if err != nil {
			t.Fatalf("%v after\n%s", err, out.String())
		}
		said := strings.Join(strings.Fields(out.String()), " ")
		if !strings.Contains(said, `Did the dialog say "actual size" or "100 percent"?`) || heard.RulerFront != want || heard.ActualSize != (answer == "1") {
			t.Errorf("answer %s: %+v\n%s", answer, heard, out.String())
		}
		c, err := heard.Conclude("desk", learning.Sheet{Size: geom.Size{W: 210, H: 297}, Ruler: geom.Size{W: 170, H: 250}})
		if err != nil || strings.Contains(fmt.Sprint(c.Report(nil)), "A print dialog makes such sizes too") {
			t.Errorf("answer %s: %v, %v", answer, c.Report(nil), err)
		}
	}
	var out strings.Builder
	if _, _, err := Ask(t.Context(), talkOn(strings.NewReader(upTo+"169.25, 249\n\n\n\n\n"+after), &out), Heard{}); err != nil || strings.Contains(out.String(), "Did the dialog say") {
		t.Errorf("0.4 percent: %v\n%s", err, out.String())
	}
}

// TestOneOrThree sheets, and nothing else, not even Enter alone.
func TestOneOrThree(t *testing.T) {
	var out strings.Builder
	heard, _, err := Ask(t.Context(), talkOn(strings.NewReader("1\n\n2\n3\n"), &out), Heard{})
	if !errors.Is(err, ErrEnded) || !heard.Three || strings.Count(out.String(), "please type 1 or 3") != 2 || strings.Contains(out.String(), "1 to 0") {
		t.Errorf("%v, three: %t\n%s", err, heard.Three, out.String())
	}
}
