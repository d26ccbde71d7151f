package progress

import (
	"bytes"
	"strings"
	"testing"

	"foldwright/cmd/internal/testkit/ptytest"
)

func panelOn(s *ptytest.Screen, columns int) *Panel {
	return &Panel{w: s, columns: func() int { return columns }, escapes: true}
}

func TestPanel(t *testing.T) {
	s := ptytest.NewScreen(60)
	p := panelOn(s, 60)
	p.Show(View{Done: 5, Total: 20, Beside: []string{"1/4 titles"}, Name: "birds/terns", After: ": 3 of 118 pages"})
	if s.Text() != "25% ##...... 1/4 titles\nbirds/terns: 3 of 118 pages" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Show(View{Done: 1, Total: 2000, Beside: []string{"1/4"}, Name: "birds/terns"})
	if s.Text() != "0% ........ 1/4\nbirds/terns" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Show(View{Done: 20, Total: 20, Beside: []string{"4/4"}, Name: "tides"})
	if s.Text() != "100% ######## 4/4\ntides" {
		t.Errorf("got\n%s", s.Text())
	}
	// A printed line stays, and the panel goes on below it.
	p.Print("failed   stores: is damaged")
	p.Show(View{Done: 20, Total: 20, Beside: []string{"4/4"}, Name: ""})
	if s.Text() != "failed   stores: is damaged\n100% ######## 4/4" {
		t.Errorf("got\n%s", s.Text())
	}
	p.End()
	p.Print("the end")
	if s.Text() != "failed   stores: is damaged\nthe end" {
		t.Errorf("got\n%s", s.Text())
	}
}

func TestPanelNeverBreaksALine(t *testing.T) {
	for columns := 1; columns < 120; columns++ {
		s := ptytest.NewScreen(columns)
		p := panelOn(s, columns)
		for range 2 {
			p.Show(View{Done: 1, Total: 3, Beside: strings.Fields(strings.Repeat("beside ", 12)), Name: strings.Repeat("below \x1b[2J", 12), After: ": 3 of 118 pages"})
		}
		if n := strings.Count(s.Text(), "\n"); n > 1 {
			t.Errorf("%d columns: %d lines\n%s", columns, n+1, s.Text())
		}
		p.End()
		if s.Text() != "" {
			t.Errorf("%d columns: left\n%s", columns, s.Text())
		}
	}
}

// TestNarrowPanelKeepsWhatMatters leaves out what is missed least and shortens names.
func TestNarrowPanelKeepsWhatMatters(t *testing.T) {
	v := View{Done: 1, Total: 4, Beside: []string{"1/4 titles", "1 failed", "about 2 min left", "850 pages/s", "5.5 MiB/s"},
		Name: "journal of the keepers", After: ": 3 of 118 pages"}
	for columns, want := range map[int]string{
		120: "25% ######.................. 1/4 titles, 1 failed, about 2 min left, 850 pages/s, 5.5 MiB/s\njournal of the keepers: 3 of 118 pages",
		80:  "25% ##........ 1/4 titles, 1 failed, about 2 min left, 850 pages/s, 5.5 MiB/s\njournal of the keepers: 3 of 118 pages",
		60:  "25% ##...... 1/4 titles, 1 failed, about 2 min left\njournal of the keepers: 3 of 118 pages",
		36:  "25% ##...... 1/4 titles, 1 failed\njournal of the ke...: 3 of 118 pages",
		20:  "25% ##...... 1/4 ...\njournal of the ke...",
	} {
		if got := strings.Join(v.lines(columns), "\n"); got != want {
			t.Errorf("%d columns:\n%s\nwant\n%s", columns, got, want)
		}
	}
}

func TestPanelWithoutEscapes(t *testing.T) {
	s := ptytest.NewScreen(60)
	p := panelOn(s, 60)
	p.escapes = false
	p.Show(View{Done: 1, Total: 2, Beside: []string{"1/2"}, Name: "tides"})
	p.Print("failed")
	p.Show(View{Done: 2, Total: 2, Beside: []string{"2/2"}, Name: "tides"})
	if s.Text() != "failed\n100% ######## 2/2" {
		t.Errorf("got\n%s", s.Text())
	}
	p.End()
	if s.Text() != "failed" || strings.Contains(s.Written(), "\x1b") {
		t.Errorf("got\n%q", s.Written())
	}
}

func TestPanelElsewhere(t *testing.T) {
	var out bytes.Buffer
	p := NewPanel(&out)
	p.Show(View{Done: 1, Total: 2})
	p.Print("a line")
	p.End()
	if out.String() != "a line\n" || p.IsDrawn() {
		t.Errorf("got %q", out.String())
	}
}
