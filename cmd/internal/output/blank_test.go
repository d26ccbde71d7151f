package output

import (
	"path/filepath"
	"slices"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/printer/printertest"
	"foldwright/reorder"
	"foldwright/reorder/sample"
)

// TestBlankBooksInEveryFoldAndCut follows the running numbers of blank books through printers, knife and folding: every
// page once, upright, in order, and nothing is asked for that no blank book has.
func TestBlankBooksInEveryFoldAndCut(t *testing.T) {
	t.Parallel()
	set := setting(t)
	r := &printtest.Reader{Mark: func(word string) string {
		if isNumber.MatchString(word) {
			return "p" + word
		}
		return ""
	}}
	type form struct {
		fold reorder.Fold
		cut  int
	}
	var forms []form
	for _, fold := range []reorder.Fold{reorder.Folio, reorder.Quarto, reorder.Octavo, reorder.Sixteenmo} {
		for _, cut := range []int{1, 2, 4} {
			forms = append(forms, form{fold, cut})
		}
	}
	for _, f := range sample.Of(t, forms, 1, 5) {
		for _, facts := range printertest.Some(t, 1) {
			o := options.Options{
				Blank: 40, Ruling: options.RulingLines, Numbers: reorder.NumbersCentre, Fold: f.fold, Cut: f.cut, Paper: "a3",
				Printer: profileFile(t, facts), NoSideNames: true, Marks: options.Marks{Given: true}, Margins: options.Margins{Given: true, Inner: 5, Outer: 5, Head: 5, Tail: 15},
			}
			folder, made := preparedFrom(t, o, set)
			if made.Source.Pages != 0 || made.Source.Made != 40 || made.Source.SHA256 != "" || made.Scale != 1 {
				t.Fatalf("%s, cut %d: the source is %+v at %g", f.fold, f.cut, made.Source, made.Scale)
			}
			j := printtest.Load(t, folder)
			j.Faces(t, j.Print(t, r, printtest.Printer(t, facts)))
			var pages []int
			for _, g := range made.Gatherings {
				pages = append(pages, g.Pages...)
			}
			if pages = slices.DeleteFunc(pages, func(p int) bool { return p == 0 }); len(pages) != 40 || !slices.IsSorted(pages) {
				t.Fatalf("%s, cut %d: pages %v", f.fold, f.cut, pages)
			}
		}
	}
}

// TestBlankBookAgain plans a blank book again from its folder, with no file at hand.
func TestBlankBookAgain(t *testing.T) {
	set := setting(t)
	folder, made := preparedFrom(t, options.Options{Blank: 24, Ruling: options.RulingGrid}, set)
	paths, err := plan.FindSources(folder, made.Source)
	if err != nil || len(paths) != 0 {
		t.Fatalf("%q, %v", paths, err)
	}
	d, err := plan.Redraft(t.Context(), folder, made, together(t, set), set.Version)
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(t.TempDir(), "again")
	again, err := Job{Draft: d}.Write(t.Context(), place, false, silent{})
	if err != nil || !slices.Equal(again.Files[:len(again.Files)-1], made.Files[:len(made.Files)-1]) {
		t.Errorf("its print files are others: %v", err)
	}
}
