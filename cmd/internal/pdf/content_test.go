package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/reorder/geom"
)

// faithful is a source with one oddity, and what its pages show. The spots are looked
// for in the source itself as well: PDFium is the witness that the test is right.
type faithful struct {
	name  string
	build func(s *source)
	spots map[int][]spot // by page
	// odd: PDFium shows the source itself otherwise, and the standard is followed.
	odd bool
}

func (c faithful) run(t *testing.T) {
	t.Run(c.name, func(t *testing.T) {
		s := &source{}
		c.build(s)
		data := s.bytes()
		d := mustOpen(t, data)
		if len(c.spots) > 1 {
			all := together(t, d)
			for page, spots := range c.spots {
				look(t, "the print file of all pages", all, page, spots)
			}
		}
		for page, spots := range c.spots {
			if !c.odd {
				look(t, "the source", data, page, spots)
			}
			look(t, "the print file", asIs(t, d, page), 1, spots)
		}
	})
}

// together writes all pages, of at most 200 by 200 points, into one print file, whose
// sides share what is the same.
func together(t *testing.T, d *Document) []byte {
	f := PrintFile{Paper: geom.Size{W: 200 * mmPerPoint, H: 200 * mmPerPoint}}
	for _, p := range d.Pages() {
		f.Sides = append(f.Sides, Side{Pages: []Placed{{Page: p.Number, Matrix: geom.Identity, Clip: p.Visible()}}})
	}
	return written(t, d, f)
}

const blackSquare = "0 g 50 50 100 100 re f"

func TestContents(t *testing.T) {
	square := map[int][]spot{1: {{100, 100, "black"}, {20, 20, "white"}, {180, 100, "white"}}}
	for _, c := range []faithful{
		{name: "one stream", spots: square, build: func(s *source) { s.square(blackSquare, "") }},
		{name: "missing", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			s.page("/MediaBox [0 0 200 200]")
		}},
		{name: "null", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			s.page("/MediaBox [0 0 200 200] /Contents null")
		}},
		{name: "an empty array", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			s.page("/MediaBox [0 0 200 200] /Contents []")
		}},
		{name: "an array whose parts end without a space", spots: square, build: func(s *source) {
			a, b, c := s.stream("", "0 g 50 50 100"), s.stream("", "100 re"), s.stream("", "f")
			s.page("/MediaBox [0 0 200 200] /Contents [%d 0 R %d 0 R %d 0 R]", a, b, c)
		}},
		{name: "an array whose state carries over", spots: square, build: func(s *source) {
			a, b, c := s.stream("", "q 2 0 0 2 0 0 cm"), s.stream("", "25 25 50 50 re f"), s.stream("", "Q 300 300 9 9 re f")
			s.page("/MediaBox [0 0 200 200] /Contents [%d 0 R %d 0 R %d 0 R]", a, b, c)
		}},
		{name: "an indirect array with a null and an empty part", spots: square, build: func(s *source) {
			e := s.stream("", "")
			a := s.add("[null %d 0 R %d 0 R]", e, s.stream("", blackSquare))
			s.page("/MediaBox [0 0 200 200] /Contents %d 0 R", a)
		}},
		{name: "packed twice, with abbreviations left alone", spots: square, build: func(s *source) {
			n := s.stream("/Filter [/ASCIIHexDecode /ASCII85Decode]", fmt.Sprintf("%X>", ascii85(blackSquare)))
			s.page("/MediaBox [0 0 200 200] /Contents %d 0 R", n)
		}},
		{name: "packed with a predictor", spots: square, build: func(s *source) {
			const row = 10
			content := fmt.Sprintf("%-40s", blackSquare)
			var packed bytes.Buffer
			z := zlib.NewWriter(&packed)
			for at := 0; at < len(content); at += row {
				line := []byte{2} // PNG's predictor Up
				for i := at; i < at+row; i++ {
					before := byte(0)
					if i >= row {
						before = content[i-row]
					}
					line = append(line, content[i]-before)
				}
				z.Write(line)
			}
			z.Close()
			s.page("/MediaBox [0 0 200 200] /Contents %d 0 R", s.stream(fmt.Sprintf("/Filter /FlateDecode /DecodeParms << /Predictor 12 /Columns %d >>", row), packed.String()))
		}},
		{name: "too many Q and too few", spots: square, build: func(s *source) {
			s.square("Q Q q q 1 0 0 1 50 50 cm 0 0 100 100 re f", "")
		}},
		{name: "a length that is wrong", spots: square, build: func(s *source) {
			n := s.add("<< /Length 4 >>\nstream\n%s\nendstream", blackSquare)
			s.page("/MediaBox [0 0 200 200] /Contents %d 0 R", n)
		}},
		{name: "shared by pages with other resources", spots: map[int][]spot{
			1: {{100, 100, "black"}, {20, 20, "white"}}, 2: {{100, 100, "white"}, {20, 20, "black"}},
		}, build: func(s *source) {
			big := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 200 200]", blackSquare)
			corner := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 200 200]", "0 0 40 40 re f")
			content := s.stream("", "/X Do")
			for _, x := range []int{big, corner} {
				s.page("/MediaBox [0 0 200 200] /Contents %d 0 R /Resources << /XObject << /X %d 0 R >> >>", content, x)
			}
		}},
		{name: "shared by pages of other boxes and turns", spots: map[int][]spot{
			1: {{80, 80, "black"}},
			2: {{100, 100, "black"}, {20, 20, "white"}, {140, 100, "black"}, {30, 100, "white"}},
			3: {{60, 60, "black"}, {120, 60, "white"}, {60, 120, "white"}},
			4: {{30, 100, "black"}, {140, 100, "white"}},
		}, build: func(s *source) {
			content := s.stream("", "0 g 50 20 100 100 re f")
			for _, entries := range []string{"/MediaBox [0 0 200 200] /CropBox [0 0 100 100]", "/MediaBox [0 0 200 200]", "/MediaBox [40 40 240 240]", "/MediaBox [0 0 200 200] /Rotate 90"} {
				s.page("%s /Contents %d 0 R", entries, content)
			}
		}},
	} {
		c.run(t)
	}
}

func ascii85(s string) string {
	var out strings.Builder
	for len(s) > 0 {
		var group [4]byte
		n := copy(group[:], s)
		s = s[n:]
		v := uint32(group[0])<<24 | uint32(group[1])<<16 | uint32(group[2])<<8 | uint32(group[3])
		var digits [5]byte
		for i := 4; i >= 0; i-- {
			digits[i] = byte(v%85) + '!'
			v /= 85
		}
		out.Write(digits[:n+1])
	}
	return out.String() + "~>"
}

// Resources are inherited (ISO 32000-1, table 30).
func TestResources(t *testing.T) {
	form := func(s *source, entries, content string) int {
		return s.stream("/Type /XObject /Subtype /Form /BBox [0 0 200 200] "+entries, content)
	}
	square := map[int][]spot{1: {{100, 100, "black"}, {20, 20, "white"}}}
	for _, c := range []faithful{
		{name: "inherited and indirect", spots: square, build: func(s *source) {
			x := form(s, "", blackSquare)
			r := s.add("<< /XObject %d 0 R >>", s.add("<< /X %d 0 R >>", x))
			s.tree = fmt.Sprintf("/Resources %d 0 R", r)
			s.square("/X Do", "")
		}},
		{name: "a name with an escape", spots: square, build: func(s *source) {
			s.square("/A#42 Do", fmt.Sprintf("/Resources << /XObject << /#41B %d 0 R >> >>", form(s, "", blackSquare)))
		}},
		{name: "a form without resources, its name meaning another thing on each page", spots: map[int][]spot{
			1: {{100, 100, "black"}, {20, 20, "white"}}, 2: {{100, 100, "white"}, {20, 20, "black"}},
		}, build: func(s *source) {
			outer := form(s, "", "/Inner Do")
			for _, content := range []string{blackSquare, "0 0 40 40 re f"} {
				s.square("/Outer Do", fmt.Sprintf("/Resources << /XObject << /Outer %d 0 R /Inner %d 0 R >> >>", outer, form(s, "", content)))
			}
		}},
		{name: "forms without resources within each other", spots: square, build: func(s *source) {
			a, b, c := form(s, "", "/B Do"), form(s, "", "/C Do"), form(s, "", blackSquare)
			s.square("/A Do", fmt.Sprintf("/Resources << /XObject << /A %d 0 R /B %d 0 R /C %d 0 R >> >>", a, b, c))
		}},
		{name: "a name used within a form with resources only", spots: square, build: func(s *source) {
			inner := form(s, "", blackSquare)
			outer := form(s, fmt.Sprintf("/Resources << /XObject << /In %d 0 R /Unused %d 0 R >> >>", inner, inner), "/In Do")
			s.square("/Out Do", fmt.Sprintf("/Resources << /XObject << /Out %d 0 R >> >>", outer))
		}},
		{name: "a name behind what looks like a string in a picture's bytes", spots: square, build: func(s *source) {
			s.square("q 10 0 0 10 0 190 cm BI /W 1 /H 1 /BPC 8 /CS /G ID ( EI Q /X Do",
				fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", form(s, "", blackSquare)))
		}},
		{name: "a tiling pattern stays where the page has it", spots: map[int][]spot{1: {{25, 25, "black"}, {75, 75, "white"}, {125, 25, "black"}, {175, 25, "white"}}}, build: func(s *source) {
			p := s.stream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 50 50] /XStep 100 /YStep 100 /Resources << >>", "0 g 0 0 50 50 re f")
			s.square("/Pattern cs /P scn 0 0 200 200 re f", fmt.Sprintf("/Resources << /Pattern << /P %d 0 R >> >>", p))
		}},
		{name: "a shading", spots: map[int][]spot{1: {{5, 100, "black"}, {100, 100, "grey"}, {195, 100, "white"}}}, build: func(s *source) {
			s.square("/S sh", "/Resources << /Shading << /S << /ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 200 0] /Function << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0] /C1 [1] >> >> >> >>")
		}},
		{name: "a type 3 font whose glyphs use the page's resources", spots: square, build: func(s *source) {
			g := s.stream("", "1000 0 d0 /X Do")
			x := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 1000 1000]", "0 0 1000 1000 re f")
			f := s.add("<< /Type /Font /Subtype /Type3 /FontBBox [0 0 1000 1000] /FontMatrix [0.001 0 0 0.001 0 0] /FirstChar 65 /LastChar 65 /Widths [1000] /Encoding << /Differences [65 /a] >> /CharProcs << /a %d 0 R >> >>", g)
			s.square("BT /F 100 Tf 50 50 Td (A) Tj ET", fmt.Sprintf("/Resources << /Font << /F %d 0 R >> /XObject << /X %d 0 R >> >>", f, x))
		}, odd: true},
		{name: "a soft mask", spots: map[int][]spot{1: {{50, 100, "black"}, {150, 100, "white"}}}, build: func(s *source) {
			mask := form(s, "/Group << /S /Transparency /CS /DeviceGray >>", "1 g 0 0 100 200 re f")
			gs := s.add("<< /SMask << /S /Luminosity /G %d 0 R >> >>", mask)
			s.square("/M gs 0 g 0 0 200 200 re f", fmt.Sprintf("/Resources << /ExtGState << /M %d 0 R >> >>", gs))
		}},
		{name: "a soft mask without resources", spots: map[int][]spot{1: {{50, 100, "black"}, {150, 100, "white"}}}, build: func(s *source) {
			x := form(s, "/Resources << >>", "1 g 0 0 100 200 re f")
			mask := form(s, "/Group << /S /Transparency /CS /DeviceGray >>", "/X Do")
			gs := s.add("<< /SMask << /S /Luminosity /G %d 0 R >> >>", mask)
			s.square("/M gs 0 g 0 0 200 200 re f", fmt.Sprintf("/Resources << /ExtGState << /M %d 0 R >> /XObject << /X %d 0 R >> >>", gs, x))
		}},
		{name: "a pattern without resources", odd: true, spots: map[int][]spot{1: {{25, 25, "black"}, {75, 75, "white"}, {125, 25, "black"}, {175, 25, "white"}}}, build: func(s *source) {
			x := form(s, "/Resources << >>", "0 g 0 0 50 50 re f")
			p := s.stream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 50 50] /XStep 100 /YStep 100", "/X Do")
			s.square("/Pattern cs /P scn 0 0 200 200 re f", fmt.Sprintf("/Resources << /Pattern << /P %d 0 R >> /XObject << /X %d 0 R >> >>", p, x))
		}},
		{name: "a form whose own resources lack a category that the page has", spots: square, build: func(s *source) {
			within := form(s, "/Resources << /ProcSet [/PDF] >>", "/X Do")
			around := form(s, fmt.Sprintf("/Resources << /Properties << >> /ExtGState << /G << /BM /Normal >> >> /XObject << /In %d 0 R >> >>", within), "/G gs /In Do")
			s.square("/Out Do", fmt.Sprintf("/Resources << /XObject << /Out %d 0 R /X %d 0 R >> >>", within, form(s, "/Resources << >>", blackSquare)))
			s.square("/Out Do", fmt.Sprintf("/Resources << /XObject << /Out %d 0 R >> >>", around))
		}},
		{name: "forms without resources that draw each other", spots: square, build: func(s *source) {
			n := len(s.objects) + 1
			form(s, "", "/B Do /X Do")
			form(s, "", "/A Do")
			form(s, "/Resources << >>", blackSquare)
			s.square("q 0 0 9 9 re W n /A Do Q /B Do", fmt.Sprintf("/Resources << /XObject << /A %d 0 R /B %d 0 R /X %d 0 R >> >>", n, n+1, n+2))
		}},
		{name: "a picture in a colour space of the page's", spots: square, build: func(s *source) {
			x := s.stream("/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /I", "\x01")
			s.square("100 0 0 100 50 50 cm /X Do", fmt.Sprintf("/Resources << /ColorSpace << /I [/Indexed /DeviceGray 1 <FF00>] >> /XObject << /X %d 0 R >> >>", x))
		}},
	} {
		c.run(t)
	}
}

func TestOnlyWhatThePageNamesIsTaken(t *testing.T) {
	s := &source{}
	used := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9]", "% this one is used")
	unused := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9]", "% this one is not")
	s.tree = fmt.Sprintf("/Resources << /XObject << /A %d 0 R /B %d 0 R >> >>", used, unused)
	s.square("/A Do", "")
	s.square("/B Do", "")
	out := asIs(t, mustOpen(t, s.bytes()), 1)
	if !bytes.Contains(out, []byte("this one is used")) || bytes.Contains(out, []byte("this one is not")) {
		t.Error("the file should hold the form that its page draws, and not the other")
	}
}

// The same for a dictionary that is large beside what is named of it, for what forms
// name, and for the data of marked content.
func TestOnlyWhatIsNamedIsTakenOfMuch(t *testing.T) {
	s := &source{}
	form := func(content, entries string) int {
		return s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9] "+entries, content)
	}
	within := form("% within", "")
	data := s.add("<< /Data %d 0 R >>", form("% no data", ""))
	many := ""
	for i := range 30 {
		many += fmt.Sprintf("/X%d %d 0 R ", i, form(fmt.Sprintf("%% form %d, draws /A", i), fmt.Sprintf("/Resources << /XObject << /A %d 0 R /B %d 0 R >> >>", within, form(fmt.Sprintf("%% unused by %d", i), ""))))
	}
	s.square("/X0 Do /Span /MC BDC /X29 Do EMC", fmt.Sprintf("/Resources << /XObject << %s >> /Properties << /MC %d 0 R >> >>", many, data))
	out := string(asIs(t, mustOpen(t, s.bytes()), 1))
	for text, want := range map[string]bool{"form 0,": true, "form 29,": true, "within": true, "form 1,": false, "form 7,": false, "unused": false, "no data": false} {
		if strings.Contains(out, text) != want {
			t.Errorf("%q is in the file: %v", text, !want)
		}
	}
}

// Pages made of the same objects are one form.
func TestPagesThatAreTheSameAreWrittenOnce(t *testing.T) {
	s := &source{}
	content := s.stream("", blackSquare)
	for range 3 {
		s.page("/MediaBox [0 0 200 200] /Contents %d 0 R", content)
	}
	if n := bytes.Count(together(t, mustOpen(t, s.bytes())), []byte(blackSquare)); n != 1 {
		t.Errorf("the content stands in the file %d times", n)
	}
}

// PDFium doesn't heed default colour spaces, others do.
func TestDefaultColourSpacesAreTakenUnnamed(t *testing.T) {
	s := &source{}
	other := s.add("[/CalGray << /WhitePoint [0.9505 1 1.089] >>]")
	s.square("1 g 50 50 100 100 re f", fmt.Sprintf("/Resources << /ColorSpace << /DefaultGray [/CalGray << /WhitePoint [0.9505 1 1.089] /Gamma 7 >>] /Other %d 0 R >> >>", other))
	d := mustOpen(t, asIs(t, mustOpen(t, s.bytes()), 1))
	x, _ := d.file.Resolve(d.tree[0].resources).(*cos.Dict)
	forms, _ := x.Get("XObject").(*cos.Dict)
	form, _ := d.file.Resolve(forms.Entries[0].Value).(*cos.Stream)
	r, _ := d.file.Resolve(form.Dict.Get("Resources")).(*cos.Dict)
	spaces, _ := r.Get("ColorSpace").(*cos.Dict)
	if spaces.Get("DefaultGray") == nil || spaces.Get("Other") != nil {
		t.Errorf("the form's colour spaces are %v", spaces)
	}
}

func TestContentThatPassesIsNotPackedAgain(t *testing.T) {
	s := &source{}
	s.square(blackSquare+" % a comment that packing would hide", "")
	if out := asIs(t, mustOpen(t, s.bytes()), 1); !bytes.Contains(out, []byte("a comment that packing would hide")) {
		t.Error("a single content stream should stay as it is")
	}
}

func TestTransparencyGroup(t *testing.T) {
	group := "/Group << /S /Transparency /CS /DeviceRGB >>"
	blend := "/Resources << /ExtGState << /G << /BM /Multiply >> >> >>"
	for _, c := range []struct {
		name, content, entries string
		want                   bool
	}{
		{"blending", "/G gs " + blackSquare, group + blend, true},
		{"blending that isn't used", blackSquare, group + blend, false},
		{"nothing blends", blackSquare, group, false},
		{"parts that knock each other out", blackSquare, "/Group << /S /Transparency /K true >>", true},
		{"no group", "/G gs " + blackSquare, blend, false},
		{"another kind of group", "/G gs " + blackSquare, "/Group << /S /Tides >>" + blend, false},
		{"the normal blend mode by its old name", "/G gs " + blackSquare, group + "/Resources << /ExtGState << /G << /BM /Compatible >> >> >>", false},
		{"blending in a form's form", "/X1 Do " + blackSquare, group + "/Resources << /XObject << /X1 2 0 R >> >>", true},
		{"blending in a pattern", "/Pattern cs /P scn 0 0 9 9 re f " + blackSquare, group + "/Resources << /Pattern << /P 3 0 R >> >>", true},
		{"no blending in a form", "/X3 Do " + blackSquare, group + "/Resources << /XObject << /X3 4 0 R >> >>", false},
	} {
		s := &source{}
		s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9] "+blend, "/G gs 0 0 9 9 re f")
		s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /X 1 0 R >> >>", "/X Do")
		s.stream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 "+blend, "/G gs 0 0 9 9 re f")
		s.stream("/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << >>", "0 0 9 9 re f")
		s.square(c.content, c.entries)
		out := asIs(t, mustOpen(t, s.bytes()), 1)
		copied := mustOpen(t, out)
		n := copied.tree[0]
		r := copied.file.Resolve(n.resources)
		form := fmt.Sprint(groupOfFirstForm(t, copied, r))
		if got := strings.Contains(form, "I true"); got != c.want {
			t.Errorf("%s: the form's group is %s", c.name, form)
		}
		look(t, c.name, out, 1, []spot{{100, 100, "black"}, {20, 20, "white"}})
	}
	// Of two pages that differ in nothing else one has a group.
	s := &source{}
	content := s.stream("", "/G gs "+blackSquare)
	for _, entries := range []string{"", group} {
		s.page("/MediaBox [0 0 200 200] /Contents %d 0 R %s %s", content, blend, entries)
	}
	out := together(t, mustOpen(t, s.bytes()))
	if n := bytes.Count(out, []byte("/Group ")); n != 1 {
		t.Errorf("%d of the two forms have a group", n)
	}
}
