package render_test

import (
	"context"
	"errors"
	"slices"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/proctest"
)

// kill kills the only process that draws, others left aside.
func kill(t *testing.T, others []int) {
	t.Helper()
	if err := syscall.Kill(only(t, others), syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
}

func only(t *testing.T, others []int) int {
	t.Helper()
	pids := children(t, others)
	if len(pids) != 1 {
		t.Fatalf("processes %v, want one", pids)
	}
	return pids[0]
}

func children(t *testing.T, others []int) []int {
	t.Helper()
	return slices.DeleteFunc(render.Children(t), func(pid int) bool { return slices.Contains(others, pid) })
}

// A process that dies costs the page that it draws and no other; one that dies while
// it draws nothing costs none. In the end there is none.
func TestADeadProcessCostsItsPage(t *testing.T) {
	others := render.Children(t) // of the renderer that tests share
	r := apart(t, 1, time.Hour)
	if pids := children(t, others); len(pids) != 0 {
		t.Errorf("processes %v before there is anything to draw", pids)
	}
	d, err := r.OpenBytes(t.Context(), "slow.pdf", slow(), "")
	if err != nil {
		t.Fatal(err)
	}
	drawn := func(page int) {
		t.Helper()
		picture, err := d.Gray(t.Context(), page, 72)
		expectSquare(t, picture, err)
	}
	drawn(1)
	kill(t, others)
	render.WaitForEnds(r)
	drawn(3)
	failed := make(chan error)
	before := proctest.ProcessorTime(only(t, others))
	go func() {
		_, err := d.Gray(t.Context(), 2, 72)
		failed <- err
	}()
	// The other pages take a fraction of this.
	for end := time.Now().Add(5 * time.Minute); proctest.ProcessorTime(only(t, others)) < before+time.Second/4; time.Sleep(5 * time.Millisecond) {
		select {
		case err := <-failed:
			t.Fatalf("the page is not slow: %v", err)
		default:
		}
		if time.Now().After(end) {
			t.Fatal("nothing is drawn")
		}
	}
	kill(t, others)
	if err := <-failed; !errors.Is(err, render.ErrCrash) || err.Error() != "slow.pdf: page 2 made the drawing engine crash" {
		t.Errorf("got %v", err)
	}
	soon, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	if _, err := d.Gray(soon, 2, 50); !errors.Is(err, render.ErrCrash) {
		t.Errorf("once more: %v", err) // an hour, were it drawn
	}
	drawn(1)
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	if pids := children(t, others); len(pids) != 0 {
		t.Errorf("processes %v outlive the renderer", pids)
	}
}

// What cannot be started is said, and no page is blamed for it.
func TestAProcessThatCannotBeStarted(t *testing.T) {
	r := apart(t, 1, time.Hour)
	var had syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &had); err != nil {
		t.Fatal(err)
	}
	few := syscall.Rlimit{Cur: 4, Max: had.Max}
	if err := syscall.Setrlimit(syscall.RLIMIT_NOFILE, &few); err != nil {
		t.Fatal(err)
	}
	_, err := r.OpenBytes(t.Context(), "slow.pdf", slow(), "")
	if back := syscall.Setrlimit(syscall.RLIMIT_NOFILE, &had); back != nil {
		t.Fatal(back)
	}
	if blamed := new(render.Error); !errors.Is(err, syscall.EMFILE) || errors.As(err, &blamed) {
		t.Errorf("got %v", err)
	}
	works(t, r)
}
