package printing

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
)

// TestLinesOfTheLogFollowFromTheJournal: each once, whatever of them stands there already, and those of another
// journal besides.
func TestLinesOfTheLogFollowFromTheJournal(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, plan.File), []byte("{}"), 0o600); err != nil {
		t.Fatal(err)
	}
	sum, err := plan.FileSHA256(filepath.Join(folder, plan.File))
	if err != nil {
		t.Fatal(err)
	}
	j, err := openJournal(folder, sum)
	if err != nil {
		t.Fatal(err)
	}
	j.Checked = true
	j.Sent = []Entry{
		{Run: 1, Pass: printer.FrontPass, Sheets: []int{1, 2, 3}, Answered: true, Good: 3},
		{Run: 1, Pass: printer.BackPass, Sheets: []int{3, 2, 1}, Answered: true, Good: 1, Lost: []int{2, 1}},
		{Run: 1, Pass: printer.FrontPass, Again: true, Sheets: []int{2}},
	}
	lines := func(of *Journal) string {
		t.Helper()
		if err := of.tellLog(t.Context()); err != nil {
			t.Fatal(err)
		}
		log, err := joblog.Read(folder)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, l := range log.Lines {
			out = append(out, l.Text())
		}
		return strings.Join(out, "; ")
	}
	const want = "check sheet: right yes; run 1, front: 3 sent, 3 good; run 1, back: 3 sent, 1 good, spoiled: 2,1"
	for range 2 {
		if got := lines(j); got != want {
			t.Errorf("%s", got)
		}
	}
	// What nobody has been asked about is written down when it has been answered.
	j.Sent[2].Answered, j.Sent[2].Good = true, 1
	if got := lines(j); got != want+"; sheet 2 once more, front: 1 sent, 1 good" {
		t.Errorf("%s", got)
	}
	other := *j
	other.Since, other.Checked, other.Sent = "later", false, j.Sent[:1]
	if got := lines(&other); !strings.HasSuffix(got, "once more, front: 1 sent, 1 good; run 1, front: 3 sent, 3 good") {
		t.Errorf("%s", got)
	}
}
