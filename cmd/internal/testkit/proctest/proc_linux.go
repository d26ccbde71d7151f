package proctest

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Children lists the processes that a process has started and that still run.
func Children(t *testing.T, pid int) (children []int) {
	t.Helper()
	entries, err := os.ReadDir("/proc")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		child, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		if s := read(child); s.parent == pid && s.state != "Z" {
			children = append(children, child)
		}
	}
	return children
}

// AwaitGone waits for a process to end.
func AwaitGone(t *testing.T, pid int) {
	t.Helper()
	for end := time.Now().Add(2 * time.Minute); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		if s := read(pid); s.parent == 0 || s.state == "Z" {
			return
		}
	}
	t.Errorf("process %d outlives the one that started it", pid)
}

// ProcessorTime is how long a process has been at work; 0: it has ended.
func ProcessorTime(pid int) time.Duration { return read(pid).took }

// stat is a process; one that is no more has parent 0.
type stat struct {
	state  string
	parent int
	took   time.Duration
}

// read reads proc_pid_stat(5).
func read(pid int) (s stat) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return s
	}
	_, rest, _ := strings.Cut(string(text), ") ")
	fields := strings.Fields(rest)
	if len(fields) < 12 {
		return s
	}
	s.state = fields[0]
	s.parent, _ = strconv.Atoi(fields[1])
	ticks, _ := strconv.Atoi(fields[11])
	s.took = time.Duration(ticks) * time.Second / 100 // USER_HZ
	return s
}
