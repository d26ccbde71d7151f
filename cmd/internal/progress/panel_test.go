package progress

import (
	"bytes"
	"strings"
	"testing"

	"foldwright/cmd/internal/ptytest"
)

func panelOn(s *ptytest.Screen, columns int) *Panel {
	return &Panel{w: s, columns: func() int { return columns }, escapes: true}
}

func TestPanel(t *testing.T) {
	s := ptytest.NewScreen(60)
	p := panelOn(s, 60)
	p.Show(View{Done: 5, Total: 20, Beside: "1/4 titles", Below: "birds/terns: 3 of 118 pages"})
	if s.Text() != "25% ####............... 1/4 titles\nbirds/terns: 3 of 118 pages" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Show(View{Done: 1, Total: 2000, Beside: "1/4", Below: "birds/terns"})
	if s.Text() != "0% ................... 1/4\nbirds/terns" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Show(View{Done: 20, Total: 20, Beside: "4/4", Below: "tides"})
	if s.Text() != "100% ################### 4/4\ntides" {
		t.Errorf("got\n%s", s.Text())
	}
	// A printed line stays, and the panel goes on below it.
	p.Print("failed   stores: is damaged")
	p.Show(View{Done: 20, Total: 20, Beside: "4/4", Below: ""})
	if s.Text() != "failed   stores: is damaged\n100% ################### 4/4" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Done()
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
			p.Show(View{Done: 1, Total: 3, Beside: strings.Repeat("beside ", 12), Below: strings.Repeat("below \x1b[2J", 12)})
		}
		if n := strings.Count(s.Text(), "\n"); n > 1 {
			t.Errorf("%d columns: %d lines\n%s", columns, n+1, s.Text())
		}
		p.Done()
		if s.Text() != "" {
			t.Errorf("%d columns: left\n%s", columns, s.Text())
		}
	}
}

func TestPanelWithoutEscapes(t *testing.T) {
	s := ptytest.NewScreen(60)
	p := panelOn(s, 60)
	p.escapes = false
	p.Show(View{Done: 1, Total: 2, Beside: "1/2", Below: "tides"})
	p.Print("failed")
	p.Show(View{Done: 2, Total: 2, Beside: "2/2", Below: "tides"})
	if s.Text() != "failed\n100% ################### 2/2" {
		t.Errorf("got\n%s", s.Text())
	}
	p.Done()
	if s.Text() != "failed" || strings.Contains(s.Written(), "\x1b") {
		t.Errorf("got\n%q", s.Written())
	}
}

func TestPanelElsewhere(t *testing.T) {
	var out bytes.Buffer
	p := NewPanel(&out)
	p.Show(View{Done: 1, Total: 2})
	p.Print("a line")
	p.Done()
	if out.String() != "a line\n" || p.Drawn() {
		t.Errorf("got %q", out.String())
	}
}
