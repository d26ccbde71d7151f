package output

import (
	"os"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/profiles/lock"
	"foldwright/reorder/refusal"
)

// TestWhatIsBeingPrintedIsNotReplaced: a printer must not get half of one plan and half of another.
func TestWhatIsBeingPrintedIsNotReplaced(t *testing.T) {
	source := printtest.Book(t, 12)
	set := setting(t)
	folder, _ := prepared(t, source, options.Options{Sheets: 4}, set)
	d := redrafted(t, folder, source, set)
	before, err := os.ReadFile(filepath.Join(folder, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	held, err := lock.Acquire(filepath.Join(folder, plan.PrintingLock))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Write(t.Context(), folder, true, silent{}); refusal.Of(err) != refusal.Output {
		t.Errorf("it was replaced: %v", err)
	}
	if after, err := os.ReadFile(filepath.Join(folder, plan.File)); err != nil || string(after) != string(before) {
		t.Errorf("the plan has changed: %v", err)
	}
	if err := held.Release(); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Write(t.Context(), folder, true, silent{}); err != nil {
		t.Error(err)
	}
}
