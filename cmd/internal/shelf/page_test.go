package shelf

import (
	"reflect"
	"strings"
	"testing"
)

func TestEachWarningStandsOnce(t *testing.T) {
	r := Report{Titles: []Entry{
		{Name: "terns", State: Done, Warnings: []string{"nobody named a printer", "page 3 is wide"}},
		{Name: "tides", State: Complete},
		{Name: "auks", State: Complete, Warnings: []string{"nobody named a printer"}},
	}}
	want := []Warning{{"nobody named a printer", []string{"terns", "auks"}, false}, {"page 3 is wide", []string{"terns"}, false}}
	if got := r.Warnings(); !reflect.DeepEqual(got, want) {
		t.Errorf("got %v", got)
	}
	var page strings.Builder
	if err := r.writeHTML(&page); err != nil || strings.Count(page.String(), "nobody named") != 1 || !strings.Contains(page.String(), "<dd>terns, auks</dd>") {
		t.Errorf("%v:\n%s", err, page.String())
	}
	r.Titles = r.Titles[:1]
	if r.Warnings()[0].All {
		t.Error("one title is called all")
	}
	r.Titles = append(r.Titles, Entry{Name: "auks", State: Done, Warnings: []string{"nobody named a printer"}})
	if got := r.Warnings(); !got[0].All || got[1].All {
		t.Errorf("got %v", got)
	}
}
