package progress

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/ptytest"
)

func on(s *ptytest.Screen, columns int) *bar {
	panel := panelOn(s, columns)
	panel.every = time.Millisecond
	return &bar{panel: panel}
}

func TestBar(t *testing.T) {
	s := ptytest.NewScreen(80)
	b := on(s, 80)
	b.Start("writing larkhaven-print", 120)
	s.Shows(t, "0% "+strings.Repeat(".", 9)+" 0/120 writing larkhaven-print")
	b.Step(30)
	b.Step(30)
	s.Shows(t, "50% "+strings.Repeat("#", 4)+strings.Repeat(".", 5)+" 60/120 writing larkhaven-print")
	b.Step(60)
	s.Shows(t, "100% "+strings.Repeat("#", 9)+" 120/120 writing larkhaven-print")
	b.End()
	expectClean(t, s)
	before := s.Written()
	b.End()
	b.Step(1)
	if after := s.Written(); after != before {
		t.Errorf("%q was written after Done", after[len(before):])
	}
}

// expectClean wants an empty screen, on which there has never been more than one line.
func expectClean(t *testing.T, s *ptytest.Screen) {
	t.Helper()
	if s.Text() != "" {
		t.Errorf("left behind: %q", s.Text())
	}
	for _, look := range s.Looks() {
		if strings.Contains(look, "\n") {
			t.Errorf("more than one line:\n%s", look)
		}
	}
}

func TestBarFitsAnyTerminal(t *testing.T) {
	for columns, shown := range map[int]string{
		200: "50% ############............ 5000/10000 checking a long name of which there are many in a row",
		80:  "50% ####..... 5000/10000 checking a long name of which there are many in a row",
		40:  "50% ####.... 5000/10000 checking a l...",
		25:  "50% ####.... 5000/1000...",
		15:  "50% ####....",
	} {
		s := ptytest.NewScreen(columns)
		b := on(s, columns)
		b.Start("checking a long name of which there are many in a row", 10000)
		b.Step(5000)
		s.Shows(t, shown[:min(len(shown), columns-4)])
		b.End()
		expectClean(t, s)
	}
}

func TestLabel(t *testing.T) {
	for _, c := range []struct {
		what    string
		columns int
		want    string
	}{
		{"writing", 7, "writing"},
		{"writing", 6, "wri..."},
		{"writing", 3, "..."},
		{"writing", 2, ".."},
		{"writing", 0, ""},
		{"\u706f\u53f0\u65e5\u8a8c", 8, "\u706f\u53f0\u65e5\u8a8c"},
		{"\u706f\u53f0\u65e5\u8a8c", 7, "\u706f\u53f0..."},
		{"\u706f\u53f0\u65e5\u8a8c", 6, "\u706f..."},
		{"a\tb\u202ec\x1b[m", 40, `a\u0009b\u202ec\u001b[m`},
	} {
		if got := label(c.what, c.columns); got != c.want {
			t.Errorf("label(%q, %d) = %q, want %q", c.what, c.columns, got, c.want)
		}
	}
}

func TestBarShowsNoControlCharacters(t *testing.T) {
	s := ptytest.NewScreen(80)
	b := on(s, 80)
	b.Start("writing \x1b[2J\nleuchtturm é", 2)
	s.Shows(t, `writing \u001b[2J\u000aleuchtturm é`)
	b.End()
	expectClean(t, s)
}

func TestBarOfSeveralPieces(t *testing.T) {
	s := ptytest.NewScreen(80)
	b := on(s, 80)
	b.Start("reading", 10)
	b.Step(7)
	s.Shows(t, "70% ######... 7/10 reading")
	b.Start("checking", 4)
	s.Shows(t, "0% ......... 0/4 checking")
	b.Step(9) // more than there are
	s.Shows(t, "100% ######### 4/4 checking")
	b.Start("nothing", 0)
	b.Step(1)
	b.End()
	expectClean(t, s)
	if all := strings.Join(s.Looks(), "\n"); strings.Contains(all, "nothing") {
		t.Errorf("work without steps was drawn:\n%s", all)
	}
}

func TestStepsFromManyGoroutines(t *testing.T) {
	s := ptytest.NewScreen(80)
	b := on(s, 80)
	b.Start("counting", 8000)
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 1000 {
				b.Step(1)
			}
		})
	}
	group.Wait()
	s.Shows(t, "8000/8000")
	b.End()
	expectClean(t, s)
}

func TestShortWorkDrawsNothing(t *testing.T) {
	s := ptytest.NewScreen(80)
	b := on(s, 80)
	b.delay = time.Hour
	b.Start("blinking", 3)
	b.Step(3)
	b.End()
	if s.Written() != "" {
		t.Errorf("%q was written", s.Written())
	}
}

// A pipe, a file and a buffer are no terminals.
func TestNothingIsWrittenElsewhere(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "log"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader, pipe, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	var buffer bytes.Buffer
	for _, r := range []Reporter{Bar(&buffer), Bar(file), Bar(pipe), Silent} {
		if r != Silent {
			t.Errorf("%T is not silent", r)
		}
		r.Start("writing", 5)
		time.Sleep(5 * time.Millisecond)
		r.Step(5)
		r.End()
	}
	pipe.Close()
	var piped bytes.Buffer
	if _, err := piped.ReadFrom(reader); err != nil {
		t.Fatal(err)
	}
	info, err := file.Stat()
	if err != nil || info.Size() != 0 || buffer.Len() != 0 || piped.Len() != 0 {
		t.Errorf("written: %d to a file (%v), %d to a buffer, %d to a pipe", info.Size(), err, buffer.Len(), piped.Len())
	}
}
