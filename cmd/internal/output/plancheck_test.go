package output

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/reorder/refusal"
)

// spoil writes a folder with a plan in which one value is another. The way to
// it is given by keys and places in lists.
func spoil(t *testing.T, data []byte, value any, way ...any) string {
	t.Helper()
	var made any
	if err := json.Unmarshal(data, &made); err != nil {
		t.Fatal(err)
	}
	at := made
	for _, step := range way[:len(way)-1] {
		if key, ok := step.(string); ok {
			at = at.(map[string]any)[key]
		} else {
			at = at.([]any)[step.(int)]
		}
	}
	switch last := way[len(way)-1].(type) {
	case string:
		at.(map[string]any)[last] = value
	case int:
		at.([]any)[last] = value
	}
	spoilt, err := json.Marshal(made)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, plan.File), spoilt, 0o666); err != nil {
		t.Fatal(err)
	}
	return dir
}

func TestCountsWithoutListsAreRefused(t *testing.T) {
	folder, _ := prepared(t, printtest.Book(t, 40), options.Options{}, setting(t))
	data, err := os.ReadFile(filepath.Join(folder, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	const huge = 2_000_000_000
	type way = []any
	for _, c := range []struct {
		value any
		way   way
	}{
		{huge, way{"sheets"}},
		{-1, way{"sheets"}},
		{huge, way{"sheets-in-book"}},
		{-1, way{"sheets-in-book"}},
		{huge, way{"gatherings", 0, "sheets"}},
		{-1, way{"gatherings", 0, "sheets"}},
		{0, way{"gatherings", 0, "sheets"}},
		{huge, way{"gatherings", 0, "first-sheet"}},
		{-5, way{"gatherings", 0, "first-sheet"}},
		{huge, way{"gatherings", 0, "pages", 0}},
		{-1, way{"gatherings", 0, "pages", 0}},
		{[]int{}, way{"gatherings", 0, "pages"}},
		{[]int{}, way{"gatherings"}},
		{huge, way{"runs", 0, "sheets"}},
		{-1, way{"runs", 0, "sheets"}},
		{[]string{}, way{"runs", 0, "passes"}},
		{[]map[string]string{{"pass": "both", "file": "run-001-both.pdf"}}, way{"runs", 0, "passes"}},
		{[]map[string]string{{"pass": "back", "file": "run-01-back.pdf"}}, way{"runs", 0, "passes"}},
		{[]int{}, way{"runs"}},
		{huge, way{"source", "pages"}},
		{huge, way{"options", "cut"}},
		{huge, way{"options", "blanks-before"}},
		{-1, way{"options", "blanks-after"}},
		{huge, way{"options", "fewest"}},
		{huge, way{"options", "only-gathering"}},
		{[]int{2000000000}, way{"options", "gatherings"}},
		{1e300, way{"paper", "width-mm"}},
		{0, way{"paper", "width-mm"}},
		{huge, way{"options", "blanks-before"}},
	} {
		dir := spoil(t, data, c.value, c.way...)
		_, err := plan.Read(dir)
		if refusal.Of(err) != refusal.Plan || !strings.HasPrefix(err.Error(), dir+": ") {
			t.Errorf("%v at %v: got %v", c.value, c.way, err)
		}
		if len(plan.Files(dir)) == 0 && c.way[0] != "options" {
			t.Errorf("%v at %v: the folder is not ours any more", c.value, c.way)
		}
	}
	for _, n := range []int{huge, -1} {
		if m, err := plan.ReadBrief(spoil(t, data, n, "sheets")); err == nil {
			t.Errorf("a shelf takes %d sheets", m.Sheets)
		}
	}
	if _, err := plan.Read(spoil(t, data, 40, "source", "pages")); err != nil {
		t.Errorf("a plan without damage: %v", err)
	}
}

func TestEndlessPlansAreRefused(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Truncate(1 << 34); err != nil {
		t.Fatal(err)
	}
	if _, err := plan.Read(dir); refusal.Of(err) != refusal.Plan {
		t.Errorf("a plan of 16 GB: %v", err)
	}
}
