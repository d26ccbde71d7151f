package shelf

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

func TestJoin(t *testing.T) {
	s := shelf(t, map[string]string{"a": "", "b": "fail because", "c": "", "d": "", "e": ""})
	for k := 1; k <= 3; k++ {
		o := shelfOptions(t, nil)
		o.Share = Share{k, 3}
		r := work(t, s, o)
		if len(r.Titles) == len(s.Titles) {
			t.Errorf("share %s took the whole shelf", o.Share)
		}
	}
	r, err := Join(s.Out)
	if err != nil || states(r) != "a done, b failed, c done, d done, e done" || len(r.Missing) != 0 || r.IsWhole() || r.Sheets() != 20 {
		t.Errorf("got %s, %v, missing %v, %d sheets", states(r), err, r.Missing, r.Sheets())
	}
	if err := r.Write(s.Out); err != nil {
		t.Fatal(err)
	}

	// The whole shelf knows the joined record: nothing is left to do.
	var events []Event
	if again := work(t, s, shelfOptions(t, &events)); started(events) != 0 || again.Count(Failed) != 1 {
		t.Errorf("%d processes, %s", started(events), states(again))
	}

	// A share that has not reported is named.
	remove(t, filepath.Join(s.Out, "batch-report-2-of-3.json"))
	if r, err = Join(s.Out); err != nil || len(r.Missing) != 1 || r.Missing[0] != (Share{2, 3}) || r.IsWhole() {
		t.Errorf("missing %v, %v", r.Missing, err)
	}
	var page bytes.Buffer
	if err := r.writeHTML(&page); err != nil || !strings.Contains(page.String(), "2/3. Their titles are not in this report.") {
		t.Errorf("the page does not say so: %v", err)
	}

	// Reports of other shares don't belong to these.
	write(t, filepath.Join(s.Out, "batch-report-1-of-2.json"), `{"kind": "foldwright batch report", "format": 1, "shelf": "in", "share": "1/2"}`)
	if _, err = Join(s.Out); refusal.Of(err) != refusal.Source || !strings.Contains(err.Error(), "remove those that do not belong here") {
		t.Errorf("got %v", err)
	}
	if _, err = Join(t.TempDir()); refusal.Of(err) != refusal.Source || !strings.Contains(err.Error(), "holds no reports of shares") {
		t.Errorf("got %v", err)
	}
}

func TestReportsThatCannotBeUsed(t *testing.T) {
	for text, want := range map[string]string{
		"{":                   "is damaged",
		`{"kind": "a diary"}`: "is not a report of this program",
		`{"kind": "foldwright batch report", "format": 2}`: "has format 2, this program reads format 1",
	} {
		dir := t.TempDir()
		write(t, filepath.Join(dir, "batch-report-1-of-1.json"), text)
		if _, err := Join(dir); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: got %v", text, err)
		}
	}
}

// TestPageIsSafe sets names and sentences that would be read as HTML or as
// another address.
func TestPageIsSafe(t *testing.T) {
	r := Report{Shelf: "<b>shelf</b>", Titles: []Entry{
		{Name: "<script>1</script>", Folder: "javascript:1 & #2-print", State: Done, Warnings: []string{"<em>w</em>"}},
		{Name: "f", State: Failed, Failure: &Failure{Sentence: "<u>s</u>", Hint: phrase.New("<u>h</u>"), Detail: "<u>d</u>"}},
		{Name: "far", Folder: filepath.ToSlash(filepath.Join(t.TempDir(), "far-print")), State: Complete},
		{Name: "later", State: Waiting},
	}}
	var out bytes.Buffer
	if err := r.writeHTML(&out); err != nil {
		t.Fatal(err)
	}
	page := out.String()
	for _, bad := range []string{"<script", "<b>", "<em>", "<u>", "http:", "https:", "ZgotmplZ", `href="javascript`} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %s", bad)
		}
	}
	for _, good := range []string{`href="./javascript:1%20&amp;%20%232-print/run-sheet.html"`, `href="file:///`, "Not reached: 1", "Ready to print: 2", "Failed: 1"} {
		if !strings.Contains(page, good) {
			t.Errorf("the page lacks %s", good)
		}
	}
}
