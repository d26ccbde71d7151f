package render

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Children are the processes that this one has started and not yet seen the end of.
func Children(t *testing.T) (pids []int) {
	t.Helper()
	files, err := filepath.Glob("/proc/self/task/*/children")
	if err != nil || len(files) == 0 {
		t.Fatalf("%v, %v", files, err)
	}
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
			pids = append(pids, pid)
		}
	}
	return pids
}
