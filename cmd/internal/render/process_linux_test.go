package render_test

import (
	"errors"
	"slices"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
)

// kill kills the only process that draws, others left aside.
func kill(t *testing.T, others []int) {
	t.Helper()
	pids := children(t, others)
	if len(pids) != 1 {
		t.Fatalf("processes %v, want one", pids)
	}
	if err := syscall.Kill(pids[0], syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
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
	for len(children(t, others)) > 0 {
		time.Sleep(time.Millisecond)
	}
	time.Sleep(100 * time.Millisecond) // until the renderer has noticed
	drawn(3)
	failed := make(chan error)
	go func() {
		_, err := d.Gray(t.Context(), 2, 72)
		failed <- err
	}()
	select {
	case err := <-failed:
		t.Fatalf("the page is not slow: %v", err)
	case <-time.After(time.Second):
		kill(t, others)
	}
	if err := <-failed; !errors.Is(err, render.ErrCrash) || err.Error() != "slow.pdf: page 2 made the drawing engine crash" {
		t.Errorf("got %v", err)
	}
	began := time.Now()
	if _, err := d.Gray(t.Context(), 2, 50); !errors.Is(err, render.ErrCrash) || time.Since(began) > time.Second {
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
