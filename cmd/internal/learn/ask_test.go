package learn

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
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
		Sheet: func(p reorder.Paper) (learning.Sheet, error) {
			return learning.Sheet{
				Size: p.Size, Ruler: geom.Size{W: 170, H: 250}, Mark: geom.Point{X: 20, Y: 23.5},
				FrontPitch: 5, BackPitch: 4.75,
			}, nil
		},
	}
}

// TestInterruptAtAQuestion: nobody types anything.
func TestInterruptAtAQuestion(t *testing.T) {
	silent, _ := io.Pipe()
	ctx, cancel := context.WithTimeout(t.Context(), 50*time.Millisecond)
	defer cancel()
	var out strings.Builder
	if _, _, err := Ask(ctx, talkOn(silent, &out), Heard{}); !errors.Is(err, context.DeadlineExceeded) {
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
	answers := "1\n2\n1\n4\n1\n2\n2\n2\n1\n1\n\n170,250\n170,250\n20,23.5\n0,0,0,0\n0,0,0,0\n0,0,0,0\n4,4,4,4\n4,4,4,4\n1\n50\n1\n"
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
		"1,2": true, "1, -2.5": true, "1 2": true, "1mm,2mm": true, "1,2,3,4": true,
		"": false, "1": false, "1,2,3": false, "a,b": false, "NaN,1": false, "1,inf": false,
	} {
		err := h.AddShift(text)
		if (err == nil) != ok || !ok && refusal.Of(err) != refusal.Use {
			t.Errorf("%q: %v", text, err)
		}
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
