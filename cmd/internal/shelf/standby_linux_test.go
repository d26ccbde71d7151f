package shelf

import (
	"errors"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// children are the processes that this one has started and not yet seen the end of.
func children(t *testing.T) []int {
	t.Helper()
	files, err := filepath.Glob("/proc/self/task/*/children")
	if err != nil || len(files) == 0 {
		t.Fatalf("%v, %v", files, err)
	}
	var out []int
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			continue // a thread that has ended
		}
		for field := range strings.FieldsSeq(string(text)) {
			pid, err := strconv.Atoi(field)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, pid)
		}
	}
	return out
}

// TestOneThatEndedWhileItWaitedIsReplaced kills the process that was started
// ahead: the title that it would have made is made all the same.
func TestOneThatEndedWhileItWaitedIsReplaced(t *testing.T) {
	s := shelf(t, map[string]string{"a": ""})
	o := shelfOptions(t, nil)
	r := &run{o: o, shelf: s}
	w := &working{run: r, ctx: t.Context(), standby: newStandby(o.Program)}
	defer w.standby.end()
	first, err := w.standby.take(true)
	if err != nil {
		t.Fatal(err)
	}
	first.dismiss()
	for len(children(t)) == 0 {
		time.Sleep(time.Millisecond)
	}
	spare := children(t)
	if err := syscall.Kill(spare[0], syscall.SIGKILL); err != nil || len(spare) != 1 {
		t.Fatal(spare, err)
	}
	// Its input is closed when its last thread has ended; a zombie shows one.
	for threads, stat := 2, "S"; threads > 1 || stat[0] != 'Z'; {
		of := "/proc/" + strconv.Itoa(spare[0])
		text, errStat := os.ReadFile(of + "/stat")
		tasks, errTasks := os.ReadDir(of + "/task")
		if err := errors.Join(errStat, errTasks); err != nil {
			t.Fatal(err)
		}
		_, stat, _ = strings.Cut(string(text), ") ") // proc_pid_stat(5)
		threads = len(tasks)
	}
	j := &effort{task: task{Title: s.Titles[0]}, allow: allowance{memory: GiB, cores: 1}}
	if _, f := w.work(j, func(message) {}); f != nil {
		t.Errorf("%+v", f)
	}
}

// TestNoProcessIsLeft looks for processes after a shelf, also where more were
// started ahead than titles came to need one.
func TestNoProcessIsLeft(t *testing.T) {
	s := shelf(t, map[string]string{"a": "", "b": "fail because", "c": "panic", "d": "sleep 100"})
	for _, again := range []bool{false, true} {
		o := shelfOptions(t, nil)
		o.Force = again
		work(t, s, o)
		if left := children(t); len(left) > 0 {
			t.Errorf("processes %v are left", left)
		}
	}
	standby := newStandby(shelfOptions(t, nil).Program)
	p, err := standby.take(true)
	if err != nil {
		t.Fatal(err)
	}
	p.dismiss()
	standby.end()
	if left := children(t); len(left) > 0 {
		t.Errorf("processes %v wait for ever", left)
	}
}
