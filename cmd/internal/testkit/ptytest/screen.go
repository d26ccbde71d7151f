// Package ptytest shows tests what a person at a terminal sees: a [Screen] is
// a terminal made of code, [Open] a pseudo-terminal of the system.
//
// The screen knows what this program writes and no more: text, carriage
// return, line feed, and of ECMA-48 the cursor up and the two ways of erasing
// to an end. Anything else is shown as it is, so that a test sees it.
package ptytest

import (
	"strings"
	"sync"
	"testing"
	"time"

	"foldwright/reorder/lists"
)

// Screen is a terminal that can be read while it is written.
type Screen struct {
	columns int

	mu      sync.Mutex
	lines   [][]rune
	row     int
	column  int
	escape  string // begun and not yet ended
	written strings.Builder
	looks   []string // every look of the screen after a write
}

// NewScreen makes a screen; lines longer than columns go on in the next one.
func NewScreen(columns int) *Screen { return &Screen{columns: columns, lines: [][]rune{nil}} }

func (s *Screen) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.written.Write(p)
	for _, r := range string(p) {
		s.put(r)
	}
	if look := s.text(); len(s.looks) == 0 || s.looks[len(s.looks)-1] != look {
		s.looks = append(s.looks, look)
	}
	return len(p), nil
}

func (s *Screen) put(r rune) {
	if s.escape != "" || r == '\x1b' {
		s.escape += string(r)
		if s.escape != "\x1b" && s.escape != "\x1b[" {
			sequence := s.escape
			s.escape = "" // what is not known is put onto the screen
			s.obey(sequence)
		}
		return
	}
	switch r {
	case '\r':
		s.column = 0
	case '\n':
		s.down()
		s.column = 0 // terminals put a carriage return before it
	default:
		if s.column == s.columns {
			s.down()
			s.column = 0
		}
		line := s.lines[s.row]
		for len(line) <= s.column {
			line = append(line, ' ')
		}
		line[s.column] = r
		s.lines[s.row] = line
		s.column++
	}
}

func (s *Screen) down() {
	s.row++
	if s.row == len(s.lines) {
		s.lines = append(s.lines, nil)
	}
}

func (s *Screen) obey(sequence string) {
	switch sequence {
	case "\x1b[A":
		s.row = max(0, s.row-1)
	case "\x1b[K", "\x1b[J":
		s.lines[s.row] = s.lines[s.row][:min(s.column, len(s.lines[s.row]))]
		if sequence == "\x1b[J" {
			s.lines = s.lines[:s.row+1]
		}
	default:
		for _, r := range strings.ReplaceAll(sequence, "\x1b", "ESC") {
			s.put(r)
		}
	}
}

// Text is what stands on the screen now, without what is empty at the ends of
// its lines and at its own.
func (s *Screen) Text() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text()
}

func (s *Screen) text() string {
	lines := lists.Map(s.lines, func(line []rune) string { return strings.TrimRight(string(line), " ") })
	return strings.TrimRight(strings.Join(lines, "\n"), "\n")
}

// Looks is every look that the screen has had.
func (s *Screen) Looks() []string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]string(nil), s.looks...)
}

// Written is everything that was written, with its control characters.
func (s *Screen) Written() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.written.String()
}

// Shows waits for the screen to hold text.
func (s *Screen) Shows(t *testing.T, text string) {
	t.Helper()
	for end := time.Now().Add(2 * time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if strings.Contains(s.Text(), text) {
			return
		}
	}
	t.Fatalf("the screen never shows %q; now it is\n%s", text, s.Text())
}
