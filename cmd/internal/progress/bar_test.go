package progress

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// screen is a terminal of one line that can be read while it is written.
type screen struct {
	mu      sync.Mutex
	line    []rune
	column  int
	widest  int
	written int
	lines   []string // every state of the line that had text
}

func (s *screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, r := range string(p) {
		if r == '\r' {
			s.column = 0
			continue
		}
		for len(s.line) <= s.column {
			s.line = append(s.line, ' ')
		}
		s.line[s.column] = r
		s.column++
		s.widest = max(s.widest, s.column)
	}
	if text := s.text(); text != "" {
		s.lines = append(s.lines, text)
	}
	s.written += len(p)
	return len(p), nil
}

func (s *screen) text() string { return strings.TrimSpace(string(s.line)) }

// now is the text that stands on the line and the number of bytes written so far.
func (s *screen) now() (text string, written int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text(), s.written
}

// shows waits for the line to contain text.
func (s *screen) shows(t *testing.T, text string) {
	t.Helper()
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if now, _ := s.now(); strings.Contains(now, text) {
			return
		}
	}
	now, _ := s.now()
	t.Fatalf("the line never shows %q; now it is %q", text, now)
}

func on(s *screen, columns int) *bar {
	return &bar{w: s, columns: func() int { return columns }, every: time.Millisecond}
}

func TestBar(t *testing.T) {
	s := new(screen)
	b := on(s, 80)
	b.Start("writing larkhaven-print", 120)
	s.shows(t, "writing larkhaven-print   0% "+strings.Repeat(".", 24)+" (0/120)")
	b.Step(30)
	b.Step(30)
	s.shows(t, "writing larkhaven-print  50% "+strings.Repeat("#", 12)+strings.Repeat(".", 12)+" (60/120)")
	b.Step(60)
	s.shows(t, "writing larkhaven-print 100% "+strings.Repeat("#", 24)+" (120/120)")
	b.Done()
	expectClean(t, s, 80)
	_, before := s.now()
	b.Done()
	b.Step(1)
	if _, after := s.now(); after != before {
		t.Errorf("%d bytes were written after Done", after-before)
	}
}

// expectClean wants an empty line with the cursor at its beginning, which was never longer than the terminal.
func expectClean(t *testing.T, s *screen, columns int) {
	t.Helper()
	if text, _ := s.now(); text != "" || s.column != 0 {
		t.Errorf("left behind: %q, cursor at %d", text, s.column)
	}
	if s.widest >= columns {
		t.Errorf("%d columns were written on a terminal of %d", s.widest, columns)
	}
	if strings.ContainsAny(string(s.line), "\n\x1b") {
		t.Errorf("the line has control characters: %q", string(s.line))
	}
}

func TestBarFitsAnyTerminal(t *testing.T) {
	for columns, shown := range map[int]string{
		200: "checking a long name of which there are many in a row  50% ############............ (5000/10000)",
		80:  "checking a long name of which t...  50% ############............ (5000/10000)",
		40:  "checki...  50% ####..... (5000/10000)",
		25:  ".  50% . (5000/10000)",
		23:  "50%  (5000/10000)",
	} {
		s := new(screen)
		b := on(s, columns)
		b.Start("checking a long name of which there are many in a row", 10000)
		b.Step(5000)
		s.shows(t, shown)
		b.Done()
		expectClean(t, s, columns)
	}
	s := new(screen)
	b := on(s, 15)
	b.Start("checking", 10000)
	time.Sleep(10 * time.Millisecond)
	b.Done()
	if _, written := s.now(); written != 0 {
		t.Errorf("%d bytes on a terminal without room", written)
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
	s := new(screen)
	b := on(s, 80)
	b.Start("writing \x1b[2J\nleuchtturm é", 2)
	s.shows(t, `writing \u001b[2J\u000aleuchtturm é`)
	b.Done()
	expectClean(t, s, 80)
}

func TestBarOfSeveralPieces(t *testing.T) {
	s := new(screen)
	b := on(s, 80)
	b.Start("reading", 10)
	b.Step(7)
	s.shows(t, "reading  70%")
	b.Start("checking", 4)
	s.shows(t, "checking   0%")
	b.Step(9) // more than there are
	s.shows(t, "checking 100%")
	b.Start("nothing", 0)
	b.Step(1)
	b.Done()
	expectClean(t, s, 80)
	if all := strings.Join(s.lines, "\n"); strings.Contains(all, "nothing") {
		t.Errorf("work without steps was drawn:\n%s", all)
	}
}

func TestStepsFromManyGoroutines(t *testing.T) {
	s := new(screen)
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
	s.shows(t, "(8000/8000)")
	b.Done()
	expectClean(t, s, 80)
}

func TestShortWorkDrawsNothing(t *testing.T) {
	s := new(screen)
	b := on(s, 80)
	b.delay = time.Hour
	b.Start("blinking", 3)
	b.Step(3)
	b.Done()
	if _, written := s.now(); written != 0 {
		t.Errorf("%d bytes were written", written)
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
		r.Done()
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
