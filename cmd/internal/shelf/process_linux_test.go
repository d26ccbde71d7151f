package shelf

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
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

// TestNoProcessIsLeft looks for processes after a shelf.
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
}
