package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/reorder/refusal"
)

// TestInterruptLeavesNothing interrupts the main job when the print files are
// being written.
func TestInterruptLeavesNothing(t *testing.T) {
	demo, err := filepath.Abs("../../../testdata/larkhaven.pdf")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	place := filepath.Join(dir, "book-print")
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	done := make(chan struct{})
	go func() {
		defer close(done)
		for ctx.Err() == nil {
			if _, err := os.Stat(filepath.Join(dir, ".book-print.part")); err == nil {
				cancel()
			}
		}
	}()
	var said strings.Builder
	// Many runs, so that there is time between the files.
	status := Run(ctx, []string{"prepare", demo, "--run", "1", "--out", place},
		Surroundings{In: strings.NewReader(""), Out: io.Discard, Err: &said, Region: "GB"})
	cancel()
	<-done
	if status != Interrupted || !strings.Contains(said.String(), "interrupted, nothing was left behind") {
		t.Errorf("status %d: %s", status, said.String())
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 0 {
		t.Errorf("left %v, %v", left, err)
	}
}

// TestEveryRefusalHasItsStatus: none may end as something unexpected, nor in two ways.
func TestEveryRefusalHasItsStatus(t *testing.T) {
	rows := map[refusal.Kind]int{}
	for _, row := range statuses {
		for _, kind := range row.kinds {
			rows[kind]++
			if status := statusOf(kind.New("no")); status != row.status {
				t.Errorf("kind %d ends in %d and not in %d", kind, status, row.status)
			}
		}
	}
	for kind := refusal.Command; kind <= refusal.Interrupted; kind++ {
		if rows[kind] != 1 {
			t.Errorf("kind %d is in %d rows", kind, rows[kind])
		}
	}
}

// TestEveryStatusIsInTheTable keeps the documented table whole.
func TestEveryStatusIsInTheTable(t *testing.T) {
	readme, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []Status{Done, Unexpected, WrongUse, Partly, Unreadable, Locked, Output, Refused, Faults, Interrupted} {
		found := false
		for _, row := range statuses {
			if row.status == s {
				found = true
				if !strings.Contains(string(readme), row.meaning) {
					t.Errorf("the README does not say %q", row.meaning)
				}
			}
		}
		if !found {
			t.Errorf("status %d has no meaning", s)
		}
	}
}
