package progress

import (
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/ptytest"
)

func TestBarOnATerminal(t *testing.T) {
	const columns = 52
	person, program := ptytest.Open(t, columns)
	s := ptytest.NewScreen(columns)
	read := make(chan struct{})
	go func() {
		defer close(read)
		buffer := make([]byte, 4096)
		for {
			n, err := person.Read(buffer)
			s.Write(buffer[:n])
			if err != nil || strings.Contains(string(buffer[:n]), "~") {
				return
			}
		}
	}()
	b := Bar(program)
	began := time.Now()
	b.Start("writing larkhaven-print", 9)
	b.Step(3)
	s.Shows(t, "33% ##...... 3/9 writing larkhaven-print")
	if waited := time.Since(began); waited < 250*time.Millisecond {
		t.Errorf("the bar appeared after %v", waited)
	}
	b.End()
	// What comes next stands alone on the line.
	if _, err := program.WriteString("done~"); err != nil {
		t.Fatal(err)
	}
	<-read
	if s.Text() != "done~" {
		t.Errorf("the screen shows %q", s.Text())
	}
}
