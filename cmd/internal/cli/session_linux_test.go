package cli

import (
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"golang.org/x/term"

	"foldwright/cmd/internal/testkit/ptytest"
)

// session runs the program at a pseudo-terminal. What it ended with comes
// when the program does.
func session(t *testing.T, columns int, args ...string) (s *ptytest.Screen, person *os.File, status <-chan int) {
	t.Helper()
	person, program := ptytest.Open(t, columns)
	cmd := exec.Command("program", args...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = program, program, program
	cmd.Env = append(os.Environ(), "TERM=xterm")
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if err := program.Close(); err != nil {
		t.Fatal(err)
	}
	s = ptytest.NewScreen(columns)
	ended := make(chan int, 1)
	go func() {
		_, _ = io.Copy(s, person) // ends with an error when the other end is closed
		err := cmd.Wait()
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			ended <- exit.ExitCode()
			return
		}
		ended <- 0
	}()
	return s, person, ended
}

// TestShelfAtATerminal looks over a person's shoulder.
func TestShelfAtATerminal(t *testing.T) {
	t.Parallel()
	worklist := bookshelf(t)
	out := filepath.Join(t.TempDir(), "prepared")
	s, _, status := session(t, 100, "batch", worklist, "--out", out)
	if got := <-status; got != int(Partly) {
		t.Errorf("status %d", got)
	}
	bar := regexp.MustCompile(`(?m)^ *[0-9]+% #+\.+ [1-5]/6 titles, .*[0-9]+ pages/s, [0-9.]+ [KM]iB/s`)
	work := regexp.MustCompile(`(?m)^(birds|tides|stores|journal|cut|letter): (reading|[0-9]+ of [0-9]+ pages)(, and 1 more)?$`)
	bars, works := 0, 0
	for _, look := range s.Looks() {
		if bar.MatchString(look) {
			bars++
		}
		if work.MatchString(look) {
			works++
		}
		if n := strings.Count(look, "titles,"); n > 1 && !strings.Contains(look, "shelf.yaml:") {
			t.Errorf("the panel stands there twice:\n%s", look)
		}
	}
	if bars == 0 || works == 0 {
		t.Errorf("the bar was seen %d times, a title in work %d times:\n%s", bars, works, strings.Join(s.Looks(), "\n---\n"))
	}
	end := s.Text()
	for _, want := range []string{
		"failed   cut: ", "  hint: download or copy the file again", "failed   letter: ",
		"shelf.yaml: 6 titles, 4 made this time, 2 failed, in ",
		"batch-report.html", "foldwright: 2 titles failed", "hint: the report names each and says what to do",
	} {
		if !strings.Contains(end, want) {
			t.Errorf("the screen lacks %q", want)
		}
	}
	for _, bad := range []string{"pages/s", "%", "done "} {
		if strings.Contains(end, bad) {
			t.Errorf("the screen still holds %q", bad)
		}
	}
	if t.Failed() {
		t.Log("the screen:\n" + end)
	}
}

// TestShelfInterruptedAtATerminal presses Ctrl-C while titles are in work.
func TestShelfInterruptedAtATerminal(t *testing.T) {
	t.Parallel()
	worklist := bookshelf(t)
	out := filepath.Join(t.TempDir(), "prepared")
	s, person, status := session(t, 100, "batch", worklist, "--out", out)
	s.Shows(t, "titles")
	if _, err := person.WriteString("\x03"); err != nil {
		t.Fatal(err)
	}
	if got := <-status; got != int(Interrupted) {
		t.Errorf("status %d", got)
	}
	end := s.Text()
	for _, want := range []string{"not reached, in ", "foldwright: interrupted, ", " of 6 titles complete", "hint: start the shelf again: it goes on where it was interrupted"} {
		if !strings.Contains(end, want) {
			t.Errorf("the screen lacks %q", want)
		}
	}
	if t.Failed() {
		t.Log("the screen:\n" + end)
	}
	entries, err := os.ReadDir(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s is left", e.Name())
		}
	}
	want := finish(t, worklist, filepath.Join(t.TempDir(), "quiet"))
	finish(t, worklist, out).same(t, want, "after an interrupt")
}

// TestPasswordAtATerminal has a person type a wrong password and the right one, which are not shown, and
// press Ctrl-C at the question, which leaves the terminal as it was.
func TestPasswordAtATerminal(t *testing.T) {
	book := filepath.Join(t.TempDir(), "locked.pdf")
	if err := lockedBook(book, "gull", "keeper"); err != nil {
		t.Fatal(err)
	}
	const question = "password of locked.pdf:"
	state := func(terminal *os.File) *term.State {
		now, err := term.GetState(int(terminal.Fd()))
		if err != nil {
			t.Fatal(err)
		}
		return now
	}
	untouched, _ := ptytest.Open(t, 100)
	fresh := state(untouched)
	// types answers the question when what is typed is no longer shown.
	types := func(person *os.File, keys string) {
		t.Helper()
		end := time.Now().Add(2 * time.Minute)
		for reflect.DeepEqual(state(person), fresh) {
			if time.Now().After(end) {
				t.Fatal("what is typed is shown all the time")
			}
			time.Sleep(time.Millisecond)
		}
		if _, err := person.WriteString(keys); err != nil {
			t.Fatal(err)
		}
	}

	s, person, status := session(t, 100, "prepare", book, "--dry-run")
	s.Shows(t, question)
	types(person, "tern\n")
	s.Shows(t, question+"\nthat is not the password\n"+question)
	types(person, "gull\n")
	if got := <-status; got != int(Done) {
		t.Errorf("status %d", got)
	}
	for _, typed := range []string{"tern", "gull"} {
		if strings.Contains(s.Written(), typed) {
			t.Errorf("%q is shown", typed)
		}
	}
	if t.Failed() {
		t.Log("the screen:\n" + s.Text())
	}

	s, person, status = session(t, 100, "prepare", book, "--dry-run")
	s.Shows(t, question)
	types(person, "\x03")
	if got := <-status; got != int(Interrupted) {
		t.Errorf("interrupted: status %d, the screen:\n%s", got, s.Text())
	}
	if !reflect.DeepEqual(state(person), fresh) {
		t.Error("the terminal is not as it was")
	}
}
