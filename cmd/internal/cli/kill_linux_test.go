package cli

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestKilledShelfIsTheSame kills the shelf's process, or that of a title, at
// random moments, and starts the shelf again: the result has to be that of a
// run that nobody disturbed. FOLDWRIGHT_KILLS says how many moments.
func TestKilledShelfIsTheSame(t *testing.T) {
	kills := 4
	if n, err := strconv.Atoi(os.Getenv("FOLDWRIGHT_KILLS")); err == nil {
		kills = n
	}
	worklist := bookshelf(t)
	began := time.Now()
	want := finish(t, worklist, filepath.Join(t.TempDir(), "undisturbed"))
	whole := time.Since(began)
	random := rand.New(rand.NewPCG(6, 1906))
	struck := map[string]int{}
	for i := range kills {
		out := filepath.Join(t.TempDir(), "killed")
		if i%2 == 1 { // folders that are to be replaced
			finish(t, worklist, out, "--sheets", "3")
		}
		var said bytes.Buffer
		cmd := program(t, &said, "batch", worklist, "--out", out)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(random.Int64N(int64(whole))))
		children := childrenOf(t, cmd.Process.Pid)
		victim, who := cmd.Process.Pid, "the shelf"
		if i%4 >= 2 && len(children) > 0 {
			victim, who = children[random.IntN(len(children))], "a title"
		}
		if err := syscall.Kill(victim, syscall.SIGKILL); err != nil && err != syscall.ESRCH {
			t.Fatal(err)
		}
		_ = cmd.Wait() // killed, or with titles that failed
		if victim == cmd.Process.Pid {
			for _, c := range children {
				gone(t, c)
			}
			if len(children) > 0 {
				who += " with titles in work"
			}
		}
		struck[who]++
		finish(t, worklist, out).same(t, want, fmt.Sprintf("kill %d, of %s", i, who))
		if t.Failed() {
			return
		}
	}
	t.Logf("killed: %v", struck)
	if struck["the shelf with titles in work"] == 0 || struck["a title"] == 0 {
		t.Errorf("the moments were badly chosen: %v", struck)
	}
}

// childrenOf lists the processes that a process has started and that still run.
func childrenOf(t *testing.T, pid int) []int {
	t.Helper()
	entries, err := os.ReadDir("/proc")
	if err != nil {
		t.Fatal(err)
	}
	var out []int
	for _, e := range entries {
		child, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		if parent, state := parentOf(child); parent == pid && state != "Z" {
			out = append(out, child)
		}
	}
	return out
}

// parentOf reads proc_pid_stat(5); a process that is no more has parent 0.
func parentOf(pid int) (parent int, state string) {
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return 0, ""
	}
	_, rest, _ := strings.Cut(string(stat), ") ")
	fields := strings.Fields(rest)
	if len(fields) < 2 {
		return 0, ""
	}
	parent, _ = strconv.Atoi(fields[1])
	return parent, fields[0]
}

// gone waits for a process to end.
func gone(t *testing.T, pid int) {
	t.Helper()
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if parent, state := parentOf(pid); parent == 0 || state == "Z" {
			return
		}
	}
	t.Errorf("process %d outlives the shelf that started it", pid)
}
