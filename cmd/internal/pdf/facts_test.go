package pdf

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// outlined is a file of eight pages whose outline has one entry for each of
// the given entries of a dictionary. PAGEn stands for a reference to page n.
func outlined(catalog string, items ...string) *source {
	s := new(source)
	for range 8 {
		s.square("", "")
	}
	page := func(text string) string {
		out := text
		for i := range s.pages {
			out = strings.ReplaceAll(out, fmt.Sprintf("PAGE%d", i+1), s.pages[i])
		}
		return out
	}
	first := len(s.objects) + 1
	for i, item := range items {
		next := ""
		if i+1 < len(items) {
			next = fmt.Sprintf("/Next %d 0 R", first+i+1)
		}
		s.add("<< /Title (entry) %s %s >>", page(item), next)
	}
	s.catalog = fmt.Sprintf("/Outlines << /First %d 0 R >> %s", first, page(catalog))
	return s
}

// TestOutlinePages finds a page by each kind of destination (ISO 32000-1,
// 12.3.2), and no page where an entry leads out of the file or nowhere.
func TestOutlinePages(t *testing.T) {
	catalog := `/Dests << /old [PAGE4 /Fit] >>
		/Names << /Dests << /Kids [<< /Names [(a) << /D [PAGE5 /Fit] >>] >> << /Kids [<< /Names [(b) [PAGE6 /Fit]] >>] >>] >> >>`
	for name, c := range map[string]struct {
		items []string
		want  []int
	}{
		"explicit":      {[]string{"/Dest [PAGE2 /Fit]", "/Dest [PAGE3 /XYZ 0 0 0]"}, []int{2, 3}},
		"by number":     {[]string{"/Dest [6 /Fit]"}, []int{7}},
		"action":        {[]string{"/A << /S /GoTo /D [PAGE3 /Fit] >>"}, []int{3}},
		"old name":      {[]string{"/Dest /old"}, []int{4}},
		"name tree":     {[]string{"/Dest (b)", "/A << /S /GoTo /D (a) >>"}, []int{5, 6}},
		"out of order":  {[]string{"/Dest [PAGE8 /Fit]", "/Dest [PAGE2 /Fit]", "/Dest [PAGE8 /FitH 3]"}, []int{2, 8}},
		"nowhere":       {[]string{"/Dest (c)", "/Dest /new", "/Dest [99 0 R /Fit]", "/Dest [88 /Fit]", "/Dest []", "", "/Dest [PAGE1 /Fit]"}, []int{1}},
		"elsewhere":     {[]string{"/A << /S /URI /URI (x) >>", "/A << /S /GoToR /D [0 /Fit] >>"}, nil},
		"below the top": {[]string{"/Dest [PAGE2 /Fit] /First << /Title (x) /Dest [PAGE3 /Fit] >>"}, []int{2}},
	} {
		d := mustOpen(t, outlined(catalog, c.items...).bytes())
		if got := d.OutlinePages(); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// TestOutlineThatIsALoop ends.
func TestOutlineThatIsALoop(t *testing.T) {
	s := outlined("", "/Dest [PAGE2 /Fit]", "/Dest [PAGE3 /Fit]")
	last := len(s.objects) - 1
	s.objects[last] = strings.Replace(s.objects[last], ">>", fmt.Sprintf("/Next %d 0 R >>", last), 1)
	if got := mustOpen(t, s.bytes()).OutlinePages(); !slices.Equal(got, []int{2, 3}) {
		t.Errorf("%v", got)
	}
}

// TestOutlineOfTheDemoBook has the book's parts; a file without an outline has none.
func TestOutlineOfTheDemoBook(t *testing.T) {
	d, err := Open(t.Context(), filepath.FromSlash("../../../testdata/larkhaven.pdf"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	if got := d.OutlinePages(); len(got) < 12 || got[0] < 1 || got[len(got)-1] > len(d.Pages()) {
		t.Errorf("the demo book's outline leads to %v", got)
	}
	bare := new(source)
	bare.square("", "")
	if got := mustOpen(t, bare.bytes()).OutlinePages(); got != nil {
		t.Errorf("a file without an outline has %v", got)
	}
}
