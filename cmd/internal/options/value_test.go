package options

import (
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"foldwright/reorder"
)

// value is a flag's value: written and read alike.
type value interface {
	encoding.TextMarshaler
	encoding.TextUnmarshaler
}

// TestValuesAreReadAsWritten holds for what people write and for the form in
// which plans repeat it.
func TestValuesAreReadAsWritten(t *testing.T) {
	for _, c := range []struct {
		fresh    func() value
		in, want string
	}{
		{func() value { return new(Length) }, "5", "5mm"},
		{func() value { return new(Length) }, "5mm", "5mm"},
		{func() value { return new(Length) }, "-2.5mm", "-2.5mm"},
		{func() value { return new(Length) }, "1in", "25.4mm"},
		{func() value { return new(Length) }, "72pt", "25.4mm"},
		{func() value { return new(Length) }, "0.5 in", "12.7mm"},
		{func() value { return new(Scale) }, "fit", "fit"},
		{func() value { return new(Scale) }, "none", "none"},
		{func() value { return new(Scale) }, "100%", "none"},
		{func() value { return new(Scale) }, "87.5%", "87.5%"},
		{func() value { return new(Run) }, "book", "book"},
		{func() value { return new(Run) }, "gathering", "gathering"},
		{func() value { return new(Run) }, "12", "12"},
		{func() value { return new(Sizes) }, "4, 4,3", "4,4,3"},
		{func() value { return new(Pages) }, "1-12,15,20-", "1-12,15,20-"},
		{func() value { return new(Pages) }, "7-7", "7"},
		{func() value { return new(Starts) }, "23, 5,5", "5,23"},
		{func() value { return new(Marks) }, "none", "none"},
		{func() value { return new(Marks) }, "letter, cut,fold", "fold,cut,letter"},
		{func() value { return new(Marks) }, "collation,stations,corners,number", "collation,stations,corners,number"},
		{func() value { return new(Lengths) }, "12, 60,4.5in", "12mm,60mm,114.3mm"},
		{func() value { return new(Trim) }, "3", "3mm"},
		{func() value { return new(Trim) }, "3, 5,0.25in", "3mm,5mm,6.35mm"},
		{func() value { return new(Dimensions) }, "152x229mm", "152x229mm"},
		{func() value { return new(Dimensions) }, "6x9in", "152.4x228.6mm"},
		{func() value { return new(Dimensions) }, "6in x 229", "152.4x229mm"},
		{func() value { return new(Starts) }, "outline", "outline"},
		{func() value { return new(Thickness) }, "1.5mm", "1.5mm"},
		{func() value { return new(Thickness) }, "1-1.5", "1mm-1.5mm"},
		{func() value { return new(Thickness) }, "0.5 - 1in", "12.7mm-25.4mm"},
		{func() value { return new(Thickness) }, "5mm-1in", "5mm-25.4mm"},
		{func() value { return new(Edges) }, "4.2", "4.2mm"},
		{func() value { return new(Margins) }, "15", "15mm"},
		{func() value { return new(Margins) }, "15,0.5in,20, 25mm", "15mm,12.7mm,20mm,25mm"},
		{func() value { return new(Inserts) }, "after=12 + 32, pages=a,b.pdf ,how=tipped", "after=12+32,pages=a,b.pdf,how=tipped"},
		{func() value { return new(Inserts) }, "after=0,pages=a.pdf,fold-out=page,after=4,pages=b.pdf,caliper=0.2,fold-out=11in", "after=0,pages=a.pdf,fold-out=page,after=4,pages=b.pdf,caliper=0.2mm,fold-out=279.4mm"},
		{func() value { return new(EndLeaves) }, "2", "2"},
		{func() value { return new(EndLeaves) }, "1, caliper=0.15,how=sewn,pages=ends.pdf", "1,how=sewn,pages=ends.pdf,caliper=0.15mm"},
		{func() value { return new(Edges) }, "4,15,4,5mm", "4mm,15mm,4mm,5mm"},
	} {
		v := c.fresh()
		if err := v.UnmarshalText([]byte(c.in)); err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		text, _ := v.MarshalText()
		if string(text) != c.want {
			t.Errorf("%q is written as %q, want %q", c.in, text, c.want)
		}
		again := c.fresh()
		if err := again.UnmarshalText(text); err != nil || fmt.Sprint(again) != fmt.Sprint(v) {
			t.Errorf("%q is read again as %v: %v", text, again, err)
		}
	}
}

func TestValuesRefused(t *testing.T) {
	for _, c := range []struct {
		v    value
		in   []string
		want string
	}{
		{new(Length), []string{"", "mm", "five", "1ft", "nan", "inf"}, "is not a length"},
		{new(Scale), []string{"", "90", "0%", "-5%", "1001%", "NaN%", "big"}, "is not a scale"},
		{new(Run), []string{"", "0", "-3", "half"}, "is not a run"},
		{new(Sizes), []string{"", "4,,3", "4,0", "4;4", "-1"}, "is not a list of gatherings"},
		{new(Pages), []string{"", "0", "a", "5-3", "1,,2", "-4", "1-2-3"}, "is not a choice of pages"},
		{new(Pages), []string{"3,1", "1-5,5", "4-,9", "2,2"}, "is not in ascending order or names a page twice"},
		{new(Trim), []string{"1,2", "1,2,3,4"}, "must be one length, or three"},
		{new(Trim), []string{"-1", "101", "1,2,200"}, "must be between 0 and 100 mm"},
		{new(Dimensions), []string{"", "152", "a4", "0x5mm", "152x-1mm", "xmm"}, "is not a size"},
		{new(Marks), []string{"", "fold,", "all", "letter,number", "none,fold"}, "is not a list of marks"},
		{new(Lengths), []string{"0", "5,5", "9,3", "-1"}, "must be rising lengths from the head"},
		{new(Starts), []string{"", "0", "5,,6", "5-7", "toc"}, "is not a list of pages"},
		{new(Thickness), []string{"0", "2-1", "0-1mm"}, "is not a thickness"},
		{new(Thickness), []string{"", "thin", "1-", "-1", "1-2-3"}, "is not a length"},
		{new(SplitAt), []string{"0%", "100%", "-5%", "NaN%", "half%"}, "use a percentage between 0% and 100%"},
		{new(SplitAt), []string{"", "middle", "50percent"}, "use a length or a percentage"},
		{new(SplitAt), []string{"0", "-3mm"}, "it is measured from the left edge"},
		{new(Margins), []string{"1,2", "1,2,3"}, "must be one length, or four for inner,outer,head,tail"},
		{new(Margins), []string{"-1", "201"}, "must be between 0 and 200 mm"},
		{new(Inserts), []string{"", "pages=a.pdf", "32"}, "does not begin with the place"},
		{new(Inserts), []string{"after=4", "after=4,how=guard"}, "does not name the PDF"},
		{new(Inserts), []string{"after=4,a.pdf", "after=4,page=a.pdf"}, "is not understood"},
		{new(Inserts), []string{"after=4,pages=a.pdf,pages=b.pdf", "after=4,pages="}, "needs one value"},
		{new(EndLeaves), []string{"1,how=wrapped"}, "use tipped or sewn"},
		{new(EndLeaves), []string{"5", "99"}, "at most 4"},
		{new(Edges), []string{"1,2", "1,2,3,4,5"}, "must be one length, or four"},
		{new(Edges), []string{"-1", "51", "1,2,3,60"}, "must be between 0 and 50 mm"},
	} {
		for _, in := range c.in {
			err := c.v.UnmarshalText([]byte(in))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%T %q: got %v, want %q", c.v, in, err, c.want)
			}
		}
	}
}

func TestPagesOf(t *testing.T) {
	for text, want := range map[string]string{
		"":         "[1 2 3 4 5 6 7 8]",
		"2-4,6,8-": "[2 3 4 6 8]",
		"8":        "[8]",
		"9":        "'pages: 9' names page 9, but the source has 8 pages",
		"1-9":      "'pages: 1-9' names page 9, but the source has 8 pages",
		"1,9-":     "'pages: 1,9-' names page 9, but the source has 8 pages",
	} {
		var p Pages
		if text != "" {
			if err := p.UnmarshalText([]byte(text)); err != nil {
				t.Fatal(err)
			}
		}
		pages, err := p.Of(8)
		got := fmt.Sprint(pages)
		if err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("%q: %s, want %s", text, got, want)
		}
	}
}

func TestRegionChoosesOfficePaper(t *testing.T) {
	for region, want := range map[Region]string{"": "a4", "GB": "a4", "DE": "a4", "JP": "a4", "US": "letter", "CA": "letter", "MX": "letter", "PH": "letter"} {
		paper, because := region.paper()
		if paper != want || because == "" {
			t.Errorf("%q: %s, %s", region, paper, because)
		}
	}
}

func TestOptionsThatContradictEachOther(t *testing.T) {
	for want, o := range map[string]Options{
		"'sheets' and 'gatherings' cannot be used together":             {Sheets: 3, Gatherings: Sizes{4}},
		"'sheets: -1' must not be negative":                             {Sheets: -1},
		"'only-gathering: -1' must not be negative":                     {OnlyGathering: -1},
		"'scale-each' needs 'scale: fit'":                               {ScaleEach: true, Scale: Scale{1}},
		"'gutter' must not be negative":                                 {Gutter: -1},
		"'ruling' and 'spacing' need 'blank' or 'blank-gatherings'":     {Ruling: RulingLines},
		"'spacing' needs 'ruling: lines'":                               {Blank: 8, Spacing: 5},
		"'blank: 5001' is too much: at most 5000":                       {Blank: 5001},
		"'recto' is for a book that has a PDF, and 'blank: 8' has none": {Blank: 8, Recto: Starts{Outline: true}},
		"'numbers-from' and 'numbers-skip' need 'numbers'":              {NumbersFrom: 3},
	} {
		if err := o.Check(); err == nil || err.Error() != want {
			t.Errorf("%+v: got %v, want %q", o, err, want)
		}
	}
}

// The largest sensible numbers are still read without surprise.
func TestLongChoice(t *testing.T) {
	var p Pages
	if err := p.UnmarshalText([]byte(fmt.Sprintf("1-%d", math.MaxInt32))); err != nil {
		t.Fatal(err)
	}
	if _, err := p.Of(10); err == nil {
		t.Error("a page beyond the source's end is taken")
	}
}

// TestValuesInPlans: numbers are numbers, what is written is read, and what no text says is refused.
func TestValuesInPlans(t *testing.T) {
	for in, v := range map[string]interface {
		json.Marshaler
		json.Unmarshaler
	}{
		"5.25": new(Length), "[12,60.5]": new(Lengths), "[4,4,3]": new(Sizes), `"fit"`: new(Scale), "0.9": new(Scale), "1": new(Scale),
		`"book"`: new(Run), `"gathering"`: new(Run), "12": new(Run), `"outline"`: new(Starts), "[5,23]": new(Starts),
		`{"least":1,"most":1.5}`: new(Thickness), `{"width":152,"height":229}`: new(Dimensions),
		`{"head":3,"tail":0,"fore-edge":5}`: new(Trim), `{"head":4,"tail":15,"left":4,"right":5}`: new(Edges),
		`{"inner":15,"outer":20,"head":18,"tail":25.5}`: new(Margins), `{"share":0.48}`: new(SplitAt), `{"mm":70}`: new(SplitAt),
	} {
		if err := json.Unmarshal([]byte(in), v); err != nil {
			t.Errorf("%T %s: %v", v, in, err)
		}
		if out, err := json.Marshal(v); err != nil || string(out) != in {
			t.Errorf("%T %s is written as %s: %v", v, in, out, err)
		}
	}
	for in, v := range map[string]json.Unmarshaler{
		`"5mm"`: new(Length), "[60,12]": new(Lengths), "[4,0]": new(Sizes), "11": new(Scale), "-1": new(Run), "0": new(Run), `"whole"`: new(Run),
		"[0]": new(Starts), `{"least":2,"most":1}`: new(Thickness), `{"width":0,"height":229}`: new(Dimensions),
		`{"head":101}`: new(Trim), `{"left":-1}`: new(Edges), `{"share":1.5}`: new(SplitAt),
	} {
		if err := json.Unmarshal([]byte(in), v); err == nil {
			t.Errorf("%T %s is read as %v", v, in, v)
		}
	}
}

// TestInsertsInPlans: plan.json names the PDFs without the way to them, and is read as it was written.
func TestInsertsInPlans(t *testing.T) {
	type some struct {
		Inserts   Inserts   `json:"inserts"`
		EndLeaves EndLeaves `json:"end-leaves"`
	}
	var o some
	if err := o.Inserts.UnmarshalText([]byte("after=12,pages=far/away/lamp.pdf,how=guard,fold-out=300mm")); err != nil {
		t.Fatal(err)
	}
	if err := o.EndLeaves.UnmarshalText([]byte("1,pages=/abs/ends.pdf,caliper=0.15mm")); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(o)
	if err != nil || strings.Contains(string(data), "away") || strings.Contains(string(data), "abs") {
		t.Errorf("%s, %v", data, err)
	}
	var again some
	if err := json.Unmarshal(data, &again); err != nil || again.Inserts.String() != "after=12,pages=lamp.pdf,how=guard,fold-out=300mm" || again.EndLeaves.String() != "1,pages=ends.pdf,caliper=0.15mm" {
		t.Errorf("%s, %s, %v", again.Inserts, again.EndLeaves, err)
	}
	for _, bad := range []string{`{"inserts":[{"after":[8,4],"pages":"a.pdf","how":"tipped"}]}`, `{"inserts":[{"after":[-1],"pages":"a.pdf"}]}`, `{"end-leaves":{"sheets":90}}`, `{"inserts":[{"after":[1],"pages":"a.pdf","caliper-mm":40}]}`} {
		if err := json.Unmarshal([]byte(bad), new(some)); err == nil {
			t.Errorf("%s is read", bad)
		}
	}
}

// TestPlatesShareTheirPages says which numbers of pages make plates.
func TestPlatesShareTheirPages(t *testing.T) {
	for _, c := range []struct {
		how         reorder.Attach
		pages, n    int
		each        int // 0: refused
		first, last int // what stands on the first side and on the last of the first leaf or pair
	}{
		{reorder.Tipped, 1, 1, 1, 1, 0}, {reorder.Tipped, 2, 1, 2, 1, 2}, {reorder.Tipped, 3, 3, 1, 1, 0}, {reorder.Guard, 5, 3, 2, 1, 2}, {reorder.Tipped, 4, 3, 0, 0, 0},
		{reorder.Wrapped, 1, 1, 1, 1, 0}, {reorder.Wrapped, 2, 1, 2, 1, 0}, {reorder.Wrapped, 3, 1, 4, 1, 0}, {reorder.Wrapped, 4, 1, 4, 1, 4}, {reorder.Wrapped, 8, 2, 4, 1, 4}, {reorder.Wrapped, 9, 2, 0, 0, 0},
	} {
		p := Plates{Name: "plates-01", How: c.how}
		err := p.SharePages("x.pdf", c.pages, c.n)
		if (err == nil) != (c.each > 0) || err == nil && p.Each != c.each {
			t.Errorf("%+v: %d, %v", c, p.Each, err)
			continue
		}
		if err != nil {
			continue
		}
		pages := make([]int, c.pages)
		for i := range pages {
			pages[i] = i + 1
		}
		sides := 2
		if c.how == reorder.Wrapped {
			sides = 4
		}
		got := p.Arrange(pages)
		if len(got) != sides*c.n || got[0] != c.first || got[sides-1] != c.last {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
