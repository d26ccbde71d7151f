package proof

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/plan"
	"foldwright/printer"
	"foldwright/printer/virtual"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/sample"
)

// few is the first pages of the demo book, a wide one among them.
var few = options.Pages{{First: 1, Last: 11}, {First: 60, Last: 60}, {First: 76, Last: 78}}

// TestNoFalseAlarm prepares the demo book in every form and with every option
// that has a say in where a page stands, and expects a proof to find nothing.
func TestNoFalseAlarm(t *testing.T) {
	t.Parallel()
	trim := options.Trim{Given: true, Head: 3, Tail: 4, ForeEdge: 5}
	options := map[string]options.Options{
		"folio":          {Fold: reorder.Folio},
		"quarto":         {Fold: reorder.Quarto},
		"octavo":         {Fold: reorder.Octavo},
		"sixteenmo":      {Fold: reorder.Sixteenmo},
		"duodecimo":      {Fold: reorder.Duodecimo},
		"loose":          {Fold: reorder.Loose},
		"pouch":          {Fold: reorder.Pouch},
		"concertina":     {Fold: reorder.Concertina},
		"cut 2":          {Cut: 2},
		"cut 4":          {Cut: 4, Fold: reorder.Quarto},
		"cut at tails":   {Cut: 2, CutEdge: reorder.TailEdge},
		"cut by the run": {Cut: 2, CutBy: options.CutByRun, Run: options.Run{Most: 4}, Sheets: 2},
		"together":       {Fold: reorder.Quarto, Nest: reorder.Together, Sheets: 2},
		"landscape":      {Leaf: reorder.Landscape, Cut: 2},
		"copies":         {Fold: reorder.Loose, CopiesAcross: true},
		"right":          {Bind: reorder.BindRight, Gutter: 6},
		"top":            {Bind: reorder.BindTop, Gutter: 6, Trim: trim},
		"top octavo":     {Bind: reorder.BindTop, Fold: reorder.Octavo},
		"centre":         {Place: reorder.InMiddle, Gutter: 4, Scale: options.Scale{Scale: 0.8}},
		"classic":        {Place: reorder.Classic},
		"trim and creep": {Trim: trim, Caliper: 0.2, Sheets: 4, Place: reorder.InMiddle},
		"trim to":        {TrimTo: options.Dimensions{W: 130, H: 190}, CreepMeasured: 2},
		"weight":         {Weight: reorder.Weight{GSM: 120}, Paper: "letter"},
		"none":           {Scale: options.Scale{Scale: 1}, Paper: "a3"},
		"overhang":       {Scale: options.Scale{Scale: 1.3}, CutOverhang: true},
		"each":           {ScaleEach: true, Wide: reorder.WideShrink, Gutter: 12},
		"content":        {Box: options.BoxContent, Margin: 5},
		"spreads":        {Split: options.SplitSpreads, SplitFirst: options.FirstDouble},
		"split aside":    {Split: options.SplitSpreads, SplitAt: options.SplitAt{Share: 0.4}, Bind: reorder.BindRight},
		"blanks":         {BlanksBefore: 1, BlanksAfter: 2, Pad: reorder.PadSplit, Fewest: 4, Sheets: 4},
		"rectos":         {Recto: options.Starts{Pages: []int{4, 8}}, Verso: options.Starts{Pages: []int{11}}, Pad: reorder.PadBefore},
		"volumes":        {Volumes: 2, Sheets: 2},
		"three copies":   {Copies: 3, Sheets: 2, Run: options.Run{Most: 10}, Numbers: reorder.NumbersCentre},
		"copies of one":  {Copies: 2, OnlyGathering: 2, Sheets: 2, Pad: reorder.PadBefore},
		"blank":          {Blank: 21, Ruling: options.RulingDots, Trim: trim, Caliper: 0.2, Bind: reorder.BindRight, BlanksBefore: 1},
		"blank cut":      {Blank: 40, Ruling: options.RulingGrid, Cut: 2, Fold: reorder.Octavo, Numbers: reorder.NumbersOuter},
		"blank at top":   {Blank: 9, Ruling: options.RulingLines, Bind: reorder.BindTop, Trim: trim},
		"blank strip":    {Blank: 9, Ruling: options.RulingLines, Fold: reorder.Concertina, Numbers: reorder.NumbersCentre},
		"between":        {BlankGatherings: between(t, "0,1,end"), Ruling: options.RulingLines, Sheets: 2, Trim: trim, Caliper: 0.2, Pad: reorder.PadSplit, HalfTitles: true, Numbers: reorder.NumbersOuter, Gutter: 8, Scale: options.Scale{Scale: 0.7}},
		"between top":    {BlankGatherings: between(t, "1,end"), Ruling: options.RulingGrid, Sheets: 2, Bind: reorder.BindTop, Trim: trim, Copies: 2, Margins: options.Margins{Given: true, Inner: 14, Outer: 22, Head: 18, Tail: 8}},
		"between pieces": {BlankGatherings: between(t, "0,2"), Ruling: options.RulingDots, Cut: 8, Pieces: 2, Volumes: 2, Bind: reorder.BindRight},
		"between plain":  {BlankGatherings: between(t, "2"), Sheets: 1, Fold: reorder.Quarto, Split: options.SplitSpreads},
		"margins":        {Margins: options.Margins{Given: true, Inner: 14, Outer: 22, Head: 18, Tail: 28}, Trim: trim, Caliper: 0.2},
		"margins right":  {Margins: options.Margins{Given: true, Inner: 10, Outer: 25, Head: 12, Tail: 30}, Bind: reorder.BindRight, Fold: reorder.Quarto},
		"margins at top": {Margins: options.Margins{Given: true, Inner: 14, Outer: 22, Head: 18, Tail: 8}, Bind: reorder.BindTop, Trim: trim, CreepMeasured: 1},
		"margins fixed":  {Margins: options.Margins{Given: true, Inner: 14, Outer: 22, Head: 18, Tail: 28}, Scale: options.Scale{Scale: 0.7}},
		"half-titles":    {HalfTitles: true, Numbers: reorder.NumbersOuter},
		"numbers":        {Numbers: reorder.NumbersOuter, NumbersFrom: 7, NumbersSkip: options.Pages{{First: 2, Last: 4}}, Trim: trim, Caliper: 0.2, Bind: reorder.BindRight},
		"numbers at top": {Numbers: reorder.NumbersCentre, Bind: reorder.BindTop, Trim: trim, KeepClear: options.Edges{Given: true, Tail: 10}},
		"numbers across": {Numbers: reorder.NumbersOuter, Fold: reorder.Loose, CopiesAcross: true},
		"numbers in cut": {Numbers: reorder.NumbersCentre, Cut: 2, CutBy: options.CutByRun, Run: options.Run{Most: 4}, Sheets: 2, BlanksBefore: 1, Pad: reorder.PadSplit},
		"a gathering":    {OnlyGathering: 2, Sheets: 2, CreepMeasured: 1, Trim: trim, Pad: reorder.PadBefore},
		"no marks":       {NoSideNames: true, Marks: options.Marks{Given: true}},
		"automatic":      {Printer: "automatic-short"},
		"automatic once": {Printer: "automatic-short", Fold: reorder.Pouch},
		"edge":           {KeepClear: options.Edges{Given: true, Head: 4, Tail: 4, Left: 4, Right: 4}, Scale: options.Scale{Scale: 0.9}},
	}
	names := slices.Sorted(maps.Keys(options))
	itself := func(name string) string { return name }
	for _, name := range sample.Of(t, names, 1, hard(names, itself, "together", "top", "copies", "split aside", "trim and creep", "automatic once")...) {
		t.Run(name, func(t *testing.T) {
			o := options[name]
			if o.Blank == 0 {
				o.Pages = few
			}
			sound(t, demo, o)
		})
	}
}

// between is after which gatherings blank ones lie.
func between(t *testing.T, text string) (b options.Between) {
	t.Helper()
	if err := b.UnmarshalText([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestBlankGatheringElsewhere proves a book whose blank gathering does not lie where its options have it.
func TestBlankGatheringElsewhere(t *testing.T) {
	t.Parallel()
	folder := prepare(t, demo, options.Options{Pages: options.Pages{{First: 1, Last: 24}}, Sheets: 2, BlankGatherings: between(t, "1"), Ruling: options.RulingGrid})
	file := filepath.Join(folder, plan.File)
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	other := bytes.Replace(data, []byte(`"blank-gatherings": "1"`), []byte(`"blank-gatherings": "2"`), 1)
	if bytes.Equal(other, data) {
		t.Fatal("the plan has no such option")
	}
	if err := os.WriteFile(file, other, 0o600); err != nil {
		t.Fatal(err)
	}
	// Both gatherings differ on each of their 8 pages, and the plan contradicts itself on both.
	if found := proved(t, folder, demo); len(found.Faults) < 18 {
		t.Errorf("%d faults are found: %v", len(found.Faults), found.Faults)
	}
}

// hard is the places of the cases with these names.
func hard[T any](all []T, name func(T) string, names ...string) (places []int) {
	for at, c := range all {
		if slices.Contains(names, name(c)) {
			places = append(places, at)
		}
	}
	if len(places) != len(names) {
		panic(fmt.Sprintf("not all of %q are there", names))
	}
	return places
}

// sound expects nothing to be found.
func sound(t *testing.T, source string, o options.Options) {
	t.Helper()
	folder := prepare(t, source, o)
	if o.Blank > 0 {
		source = ""
	}
	found := proved(t, folder, source)
	for _, f := range found.Faults {
		t.Error(f)
	}
	t.Logf("%d pages, largest difference of a page %.3f percent, of a spot %.1f", found.Pages, found.Mean, found.Worst)
	if found.Pages == 0 {
		t.Error("nothing was compared")
	}
}

// TestRegistrationIsUndone proves jobs for printers that shift and stretch.
func TestRegistrationIsUndone(t *testing.T) {
	t.Parallel()
	legal := virtual.All()
	places := []int{0}
	for i := 13; i < len(legal); i += 13 {
		places = append(places, i)
	}
	for _, i := range sample.Of(t, places, 1, 0, len(places)-1) {
		profile := profiles.Profile{
			Format: profiles.Format, Name: "shifting", Facts: legal[i],
			Registration: printer.Registration{Both: printer.Shift{Right: 1.5, Up: -2}, Back: printer.Shift{Right: -0.7, Up: 1.1}},
			Scale:        printer.Scalings{Front: printer.Scaling{Across: 1.004, Along: 0.997}, Back: printer.Scaling{Across: 1.002, Along: 1.001}},
		}
		dir := t.TempDir()
		path, err := profiles.Store{Dir: dir}.Save(profile, false)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, demo, options.Options{Pages: options.Pages{{First: 5, Last: 12}}, Printer: path})
	}
}

// book is a file of other people's, and what a job takes of it.
type book struct {
	file    string
	options options.Options
}

// TestNoFalseAlarmOnOtherPeoplesBooks takes the test files of the pdfcpu module
// that have more than 8 pages, a part of each, and changes the form from book to book.
func TestNoFalseAlarmOnOtherPeoplesBooks(t *testing.T) {
	t.Parallel()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(strings.TrimSpace(string(out)), "pkg/testdata/*.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	forms := reorder.Folds()
	var books []book
	for _, file := range files {
		doc, err := pdf.Open(t.Context(), file, pdf.Options{})
		if err != nil {
			continue
		}
		n := len(doc.Pages())
		broken := slices.ContainsFunc(doc.Pages(), func(p pdf.Page) bool { return p.Problem != nil })
		doc.Close()
		if n <= 8 || broken {
			continue
		}
		at := len(books)
		const most = 12 // pages of each
		first := 1 + (n-min(n, most))*((at+1)%3)/2
		books = append(books, book{file, options.Options{Fold: forms[at%len(forms)], Pages: options.Pages{{First: first, Last: min(n, first+most-1)}}}})
	}
	for _, b := range sample.Of(t, books, 1, 0) {
		t.Run(filepath.Base(b.file)+" "+b.options.Fold.String(), func(t *testing.T) { sound(t, b.file, b.options) })
	}
	if len(books) < 10 {
		t.Errorf("only %d books", len(books))
	}
}
