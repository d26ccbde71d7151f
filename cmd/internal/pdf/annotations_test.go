package pdf

import (
	"fmt"
	"strings"
	"testing"
)

// stamp is an annotation's appearance: all of its box black.
func (s *source) stamp(entries string) int {
	return s.stream("/Type /XObject /Subtype /Form "+entries, "0 g -999 -999 9999 9999 re f")
}

// annotated is a page of 200 by 200 points with annotations.
func (s *source) annotated(entries string, annotations ...string) {
	list := ""
	for _, a := range annotations {
		list += fmt.Sprintf(" %d 0 R", s.add("<< /Type /Annot %s >>", a))
	}
	s.square("", "/Annots ["+list+"] "+entries)
}

// What is printed follows from the flags (ISO 32000-1, table 165: without Print never,
// Hidden neither shown nor printed, NoView printed), and where it stands from the
// algorithm of 12.5.5: the appearance's box through its Matrix, the upright rectangle around
// that scaled and moved onto Rect.
func TestAnnotationsThatArePrinted(t *testing.T) {
	black := map[int][]spot{1: {{100, 100, "black"}, {20, 20, "white"}, {180, 100, "white"}}}
	white := map[int][]spot{1: {{100, 100, "white"}}}
	const rect = "/Rect [50 50 150 150]"
	one := func(format string) func(*source) {
		return func(s *source) {
			s.annotated("", fmt.Sprintf(format, s.stamp("/BBox [0 0 10 10]")))
		}
	}
	for _, c := range []faithful{
		{name: "a stamp and nothing else", spots: black, build: one(rect + " /Subtype /Stamp /F 4 /AP << /N %d 0 R >>")},
		{name: "not marked for printing", spots: white, build: one(rect + " /Subtype /Stamp /F 0 /AP << /N %d 0 R >>")},
		{name: "without flags", spots: white, build: one(rect + " /Subtype /Stamp /AP << /N %d 0 R >>")},
		{name: "hidden", spots: white, build: one(rect + " /Subtype /Stamp /F 6 /AP << /N %d 0 R >>")},
		{name: "for printing only", spots: black, build: one(rect + " /Subtype /Stamp /F 36 /AP << /N %d 0 R >>")},
		{name: "a link", spots: white, odd: true, build: one(rect + " /Subtype /Link /F 4 /AP << /N %d 0 R >>")},
		{name: "the frame of a link", spots: map[int][]spot{1: {{55, 100, "white"}}}, build: one(rect + " /Subtype /Link /F 4 /Border [0 0 20] /C [0] /Not %d")},
		{name: "a pop-up", spots: white, build: one(rect + " /Subtype /Popup /F 4 /Open true /AP << /N %d 0 R >>")},
		{name: "a state", spots: black, odd: true, build: one(rect + " /Subtype /Widget /FT /Btn /F 4 /AS /Yes /AP << /N << /Yes %d 0 R >> >>")},
		{name: "another state", spots: white, build: one(rect + " /Subtype /Widget /FT /Btn /F 4 /AS /Off /AP << /N << /Yes %d 0 R >> >>")},
		{name: "a state that only the value names", spots: black, odd: true, build: one(rect + " /Subtype /Widget /FT /Btn /F 4 /V /Yes /AP << /N << /Yes %d 0 R >> >>")},
		{name: "a rectangle with its corners swapped", spots: black, build: one("/Rect [150 150 50 50] /Subtype /Stamp /F 4 /AP << /N %d 0 R >>")},
		{name: "an appearance with a matrix", spots: black, build: func(s *source) {
			s.annotated("", fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 50 100] /Matrix [0 1 -1 0 7 9]")))
		}},
		{name: "an appearance that doesn't say that it is a form", spots: black, build: func(s *source) {
			n := s.stream("/BBox [0 0 10 10]", "0 g 0 0 10 10 re f")
			s.annotated("", fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", n))
		}},
		{name: "an appearance with resources that doesn't say that it is a form", spots: black, build: func(s *source) {
			n := s.stream("/BBox [0 0 10 10] /Resources << >>", "0 g 0 0 10 10 re f")
			s.annotated("", fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", n))
		}},
		{name: "an appearance without a box", spots: black, odd: true, build: func(s *source) {
			n := s.stream("/Subtype /Form /Resources << >>", "0 g 0 0 100 100 re f")
			s.annotated("", fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", n))
		}},
		{name: "the state Off where none is named", spots: black, odd: true, build: one(rect + " /Subtype /Widget /FT /Btn /F 4 /AP << /N << /Off %d 0 R >> >>")},
		{name: "the state Off where the value names one that isn't there", spots: black, odd: true, build: one(rect + " /Subtype /Widget /FT /Btn /F 4 /V /Yes /AP << /N << /Off %d 0 R >> >>")},
		{name: "by references and directly", spots: map[int][]spot{1: {{100, 100, "black"}, {180, 180, "black"}, {20, 20, "white"}}}, build: func(s *source) {
			n := s.stamp("/BBox [0 0 10 10]")
			flags := s.add("4")
			corner := fmt.Sprintf("<< /Subtype /Stamp /Rect [170 170 190 190] /F 4 /AP << /N %d 0 R >> >>", n)
			list := s.add("[<< /Subtype /Stamp %s /F %d 0 R /AP << /N %d 0 R >> >> %s 99 0 R (tide)]", rect, flags, n, corner)
			s.square("", fmt.Sprintf("/Annots %d 0 R", list))
		}},
		{name: "an appearance whose resources lack a category that the page has", spots: black, build: func(s *source) {
			x := s.stamp("/BBox [0 0 10 10]")
			n := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 10 10] /Resources << /ProcSet [/PDF] >>", "/X Do")
			s.annotated(fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", x), fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", n))
		}},
		{name: "an appearance that uses the page's resources", spots: black, build: func(s *source) {
			x := s.stamp("/BBox [0 0 10 10]")
			n := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 10 10]", "/X Do")
			s.annotated(fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", x), fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", n))
		}},
		{name: "on a turned page", spots: map[int][]spot{1: {{10, 190, "black"}, {10, 10, "white"}, {190, 190, "white"}}}, build: func(s *source) {
			s.annotated("/Rotate 90", fmt.Sprintf("/Rect [0 0 50 50] /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 10 10]")))
		}},
		{name: "that doesn't turn with its page", spots: map[int][]spot{1: {{140, 140, "black"}, {110, 130, "white"}, {140, 155, "white"}}}, build: func(s *source) {
			s.annotated("/Rotate 90", fmt.Sprintf("/Rect [50 100 90 120] /Subtype /Stamp /F 20 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 10 10]")))
		}},
		{name: "that doesn't turn on its head", spots: map[int][]spot{1: {{170, 70, "black"}, {130, 90, "white"}}}, build: func(s *source) {
			s.annotated("/Rotate 180", fmt.Sprintf("/Rect [50 100 90 120] /Subtype /Stamp /F 20 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 10 10]")))
		}},
		{name: "on a page whose origin lies elsewhere", spots: map[int][]spot{1: {{10, 10, "black"}, {60, 60, "white"}}}, build: func(s *source) {
			s.annotated("/CropBox [100 100 200 200]", fmt.Sprintf("/Rect [100 100 150 150] /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 10 10]")))
		}},
		{name: "a field is drawn over what follows it", spots: black, odd: true, build: func(s *source) {
			field := fmt.Sprintf(rect+" /Subtype /Widget /FT /Btn /F 4 /AP << /N %d 0 R >>", s.stamp("/BBox [0 0 10 10]"))
			pale := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 10 10]", "1 g 0 0 10 10 re f")
			s.annotated("", field, fmt.Sprintf(rect+" /Subtype /Stamp /F 4 /AP << /N %d 0 R >>", pale))
		}},
	} {
		c.run(t)
	}
}

// What has no appearance stream is drawn from its entries.
func TestShapesWithoutAppearance(t *testing.T) {
	for _, c := range []struct {
		name, entries string
		spots         []spot
		odd           bool // PDFium draws nothing, others do
	}{
		{"square", "/Subtype /Square /Rect [50 50 150 150] /C [0] /IC [0.5] /BS << /W 10 >>", []spot{{55, 100, "black"}, {100, 100, "grey"}, {45, 100, "white"}}, false},
		{"square that isn't filled", "/Subtype /Square /Rect [50 50 150 150] /C [0 0 0] /Border [0 0 10]", []spot{{55, 100, "black"}, {100, 100, "white"}}, false},
		{"square, see-through", "/Subtype /Square /Rect [50 50 150 150] /IC [0] /C [0] /CA 0.5", []spot{{100, 100, "grey"}}, false},
		{"circle", "/Subtype /Circle /Rect [50 50 150 150] /IC [0 0 0] /C [0 0 0]", []spot{{100, 100, "black"}, {55, 55, "white"}, {100, 145, "black"}}, false},
		{"highlight", "/Subtype /Highlight /Rect [50 90 150 110] /C [0.5 0.5 0.5] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{100, 100, "grey"}, {100, 120, "white"}}, false},
		{"underline", "/Subtype /Underline /Rect [50 90 150 110] /C [0 0 0] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{100, 91, "grey"}, {100, 105, "white"}}, false},
		{"strike out", "/Subtype /StrikeOut /Rect [50 90 150 110] /C [0 0 0] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{100, 100, "grey"}, {100, 91, "white"}}, false},
		{"marks whose rectangle lies elsewhere", "/Subtype /Highlight /Rect [-1 -1 -1 -1] /C [0.5 0.5 0.5] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{100, 100, "grey"}, {100, 120, "white"}}, false},
		{"ink", "/Subtype /Ink /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /InkList [[50 100 150 100]]", []spot{{100, 100, "black"}, {100, 120, "white"}}, false},
		{"line", "/Subtype /Line /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /L [50 100 150 100]", []spot{{100, 100, "black"}, {100, 120, "white"}}, true},
		{"polygon", "/Subtype /Polygon /Rect [50 50 150 150] /C [0 0 0] /IC [0.5 0.5 0.5] /BS << /W 10 >> /Vertices [50 50 150 50 150 150 50 150]", []spot{{100, 100, "grey"}, {150, 100, "black"}}, true},
		{"polyline", "/Subtype /PolyLine /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /Vertices [50 50 150 50 150 150]", []spot{{100, 100, "white"}, {150, 100, "black"}}, true},
		{"free text", "/Subtype /FreeText /Rect [50 50 150 150] /C [0.5 0.5 0.5] /Contents (tide) /DA (0 g /Helv 12 Tf)", []spot{{100, 70, "grey"}}, true},
		{"note", "/Subtype /Text /Rect [50 130 70 150] /Contents (tide)", []spot{{54, 140, "grey"}}, true},
		{"dashes", "/Subtype /Square /Rect [50 50 150 150] /C [0] /BS << /W 10 /S /D /D [50 50] >>", []spot{{80, 55, "black"}, {125, 55, "white"}}, false},
		{"dashes that don't say how long", "/Subtype /Square /Rect [50 50 150 150] /C [0] /BS << /W 10 /S /D >>", []spot{{56, 55, "black"}, {59, 55, "white"}}, true},
		{"dashes by the older entry", "/Subtype /Square /Rect [50 50 150 150] /C [0] /Border [0 0 10 [50 50]]", []spot{{80, 55, "black"}, {125, 55, "white"}}, false},
		{"square that is smaller than its rectangle", "/Subtype /Square /Rect [50 50 150 150] /C [0] /RD [20 20 20 20] /BS << /W 10 >>", []spot{{75, 100, "black"}, {55, 100, "white"}}, true},
		{"square of process colours", "/Subtype /Square /Rect [50 50 150 150] /IC [0 0 0 1] /C [0 0 0 1]", []spot{{100, 100, "black"}}, false},
		{"square without a line", "/Subtype /Square /Rect [50 50 150 150] /C [0] /BS << /W 0 >>", []spot{{50, 100, "white"}, {100, 50, "white"}, {100, 100, "white"}}, false},
		{"highlight of a part of its rectangle", "/Subtype /Highlight /Rect [50 50 150 150] /C [0.5 0.5 0.5] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{100, 100, "grey"}, {100, 70, "white"}}, false},
		{"highlight without points or colour", "/Subtype /Highlight /Rect [50 90 150 110]", []spot{{100, 100, "grey"}, {100, 120, "white"}}, true},
		{"underline without points", "/Subtype /Underline /Rect [50 90 150 110]", []spot{{100, 91, "grey"}, {100, 105, "white"}}, true},
		{"squiggly", "/Subtype /Squiggly /Rect [50 90 150 110] /C [0] /QuadPoints [50 110 150 110 50 90 150 90]", []spot{{52, 92, "black"}, {54, 90, "grey"}, {54, 93, "white"}}, true},
		{"line with an arrow", "/Subtype /Line /Rect [50 50 150 150] /C [0] /BS << /W 10 >> /L [50 100 150 100] /LE [/None /OpenArrow]", []spot{{100, 129, "black"}, {72, 120, "white"}}, true},
		{"line with a closed arrow", "/Subtype /Line /Rect [50 50 150 150] /C [0] /BS << /W 10 >> /L [50 100 150 100] /LE [/None /ClosedArrow]", []spot{{100, 129, "black"}, {72, 120, "black"}}, true},
		{"line with an arrow at its start", "/Subtype /Line /Rect [50 50 150 150] /C [0] /BS << /W 10 >> /L [50 100 150 100] /LE [/OpenArrow /Diamond]", []spot{{100, 129, "black"}, {128, 120, "white"}}, true},
		{"free text with a border", "/Subtype /FreeText /Rect [50 50 150 150] /Contents (tide) /DA (0 g /Helv 0 Tf) /BS << /W 10 >>", []spot{{55, 100, "black"}, {100, 60, "white"}}, true},
		{"a stamp can't be guessed", "/Subtype /Stamp /Rect [50 50 150 150]", []spot{{100, 100, "white"}}, false},
	} {
		faithful{name: c.name, odd: c.odd, spots: map[int][]spot{1: c.spots}, build: func(s *source) {
			s.annotated("", "/F 4 "+c.entries)
		}}.run(t)
	}
}

// Where it marks nothing a highlight lets what lies below it show.
func TestHighlightIsSeenThrough(t *testing.T) {
	faithful{name: "highlight", spots: map[int][]spot{1: {{100, 100, "black"}, {60, 100, "grey"}}}, build: func(s *source) {
		n := s.add("<< /Subtype /Highlight /F 4 /Rect [50 90 150 110] /C [0.5 0.5 0.5] /QuadPoints [50 110 150 110 50 90 150 90] >>")
		s.square("80 80 40 40 re f", fmt.Sprintf("/Annots [%d 0 R]", n))
	}}.run(t)
}

func TestFormFields(t *testing.T) {
	const block = "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Tx "
	// In the font every letter is a black square of a whole em.
	form := func(s *source, flags string) {
		g := s.stream("", "1000 0 d0 0 -300 1000 1300 re f")
		f := s.add("<< /Type /Font /Subtype /Type3 /FontBBox [0 -300 1000 1000] /FontMatrix [0.001 0 0 0.001 0 0] /FirstChar 65 /LastChar 66 /Widths [1000 1000] /Encoding << /Differences [65 /a /a] >> /CharProcs << /a %d 0 R >> >>", g)
		s.catalog = fmt.Sprintf("/AcroForm << /Fields [] %s /DA (/Block 100 Tf 0 g) /DR << /Font << /Block %d 0 R >> >> >>", flags, f)
	}
	full := map[int][]spot{1: {{100, 100, "black"}, {20, 100, "white"}}}
	for _, c := range []faithful{
		{name: "a value without an appearance", spots: full, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A)")
		}},
		{name: "a value inherited from the field above", spots: full, odd: true, build: func(s *source) {
			form(s, "")
			parent := s.add("<< /FT /Tx /V (A) /T (keeper) >>")
			s.annotated("", fmt.Sprintf("/Subtype /Widget /F 4 /Rect [50 50 150 150] /Parent %d 0 R", parent))
		}},
		{name: "an appearance that is out of date", spots: full, odd: true, build: func(s *source) {
			form(s, "/NeedAppearances true")
			old := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "")
			s.annotated("", block+fmt.Sprintf("/V (A) /AP << /N %d 0 R >>", old))
		}},
		{name: "an appearance that stays", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			form(s, "")
			old := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "")
			s.annotated("", block+fmt.Sprintf("/V (A) /AP << /N %d 0 R >>", old))
		}},
		{name: "a choice", spots: full, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Ch /Ff 131072 /V (one) /Opt [[(one) (A)] [(two) (C)]]")
		}},
		{name: "letters that the font lacks", spots: full, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V <FEFF004103C0> /DA (/Block 100 Tf 0 g)")
		}},
		{name: "letters that only its own appearance has", spots: map[int][]spot{1: {{100, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "/NeedAppearances true")
			own := s.stream("/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "")
			s.annotated("", block+fmt.Sprintf("/V <FEFF004103C0> /AP << /N %d 0 R >>", own))
		}},
		{name: "a list from its third option on, one of them selected", odd: true, spots: map[int][]spot{1: {
			{60, 140, "black"}, {90, 140, "white"}, {60, 117, "black"}, {90, 117, "grey"}, {60, 94, "white"},
		}}, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Ch /V [(two)] /TI 2 /DA (/Block 20 Tf 0 g) /Opt [(A) (A) [(one) (A)] [(two) (A)]]")
		}},
		{name: "ranged right", spots: map[int][]spot{1: {{140, 100, "black"}, {60, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /Q 2 /DA (/Block 40 Tf 0 g)")
		}},
		{name: "cells of equal width", spots: map[int][]spot{1: {{62, 100, "black"}, {87, 100, "black"}, {75, 100, "white"}, {137, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AB) /Ff 16777216 /MaxLen 4 /DA (/Block 10 Tf 0 g)")
		}},
		{name: "as large as the height allows", spots: map[int][]spot{1: {{60, 100, "black"}, {125, 100, "black"}, {140, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /DA (/Block 0 Tf 0 g)")
		}},
		{name: "as large as the width allows", spots: map[int][]spot{1: {{60, 100, "black"}, {143, 100, "black"}, {100, 125, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (ABBA) /DA (/Block 0 Tf 0 g)")
		}},
		{name: "as large as its cell", spots: map[int][]spot{1: {{102, 100, "black"}, {148, 100, "black"}, {75, 135, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AB) /Ff 16777216 /MaxLen 2 /DA (/Block 0 Tf 0 g)")
		}},
		{name: "a caption in the middle", spots: map[int][]spot{1: {{100, 100, "black"}, {70, 100, "white"}, {130, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Btn /Ff 65536 /MK << /CA (AB) >> /DA (/Block 20 Tf 0 g)")
		}},
		{name: "a caption of no size", spots: map[int][]spot{1: {{100, 100, "black"}, {85, 100, "white"}, {115, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Btn /Ff 65536 /MK << /CA (AB) >> /DA (/Block 0 Tf 0 g)")
		}},
		{name: "a value in a file without a form", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			s.annotated("", block+"/V (l) /MK << /BG [0] >>")
		}},
		{name: "several lines", spots: map[int][]spot{1: {{60, 138, "black"}, {60, 92, "black"}, {140, 138, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A B) /Ff 4096 /DA (/Block 50 Tf 0 g)")
		}},
		{name: "lines and columns of the value itself", spots: map[int][]spot{1: {{60, 138, "black"}, {60, 92, "black"}, {140, 138, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A\\n\\tB) /Ff 4096 /DA (/Block 50 Tf 0 g)")
		}},
		{name: "a background and no value", spots: map[int][]spot{1: {{100, 100, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/MK << /BG [0.5] >>")
		}},
		{name: "a password", spots: map[int][]spot{1: {{100, 100, "white"}}}, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /Ff 8192")
		}},
		{name: "centred", spots: map[int][]spot{1: {{100, 100, "black"}, {60, 100, "white"}, {140, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /Q 1 /DA (/Block 40 Tf 0 g)")
		}},
		{name: "turned by a quarter", spots: map[int][]spot{1: {{100, 60, "black"}, {60, 100, "white"}, {100, 140, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /MK << /R 90 >> /DA (/Block 40 Tf 0 g)")
		}},
		{name: "turned, in a field that isn't square", spots: map[int][]spot{1: {{100, 60, "black"}, {100, 140, "black"}, {70, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [80 40 120 160] /FT /Tx /V (AAA) /MK << /R 270 >> /DA (/Block 38 Tf 0 g)")
		}},
		{name: "a border", spots: map[int][]spot{1: {{55, 100, "black"}, {100, 55, "black"}, {100, 100, "white"}, {45, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/MK << /BC [0] >> /BS << /W 10 >>")
		}},
		{name: "letters in grey", spots: map[int][]spot{1: {{100, 100, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /DA (/Block 100 Tf 0.5 0.5 0.5 rg)")
		}},
		{name: "letters in process colours", spots: map[int][]spot{1: {{100, 100, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (A) /DA (0 0 0 0.5 k/Block 100 Tf)")
		}},
		{name: "letters said in the field above, in grey", spots: map[int][]spot{1: {{100, 100, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			parent := s.add("<< /FT /Tx /V (A) /T (keeper) /DA (0.5 g /Block 100 Tf) >>")
			s.annotated("", fmt.Sprintf("/Subtype /Widget /F 4 /Rect [50 50 150 150] /Parent %d 0 R", parent))
		}},
		{name: "as large as fits", spots: map[int][]spot{1: {{54, 100, "black"}, {145, 100, "black"}, {100, 107, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AAAAAAAAAA) /DA (/Block 0 Tf 0 g)")
		}},
		{name: "lines as large as fit", spots: map[int][]spot{1: {{60, 140, "black"}, {60, 60, "black"}, {140, 140, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA AAAAAAAA) /Ff 4096 /DA (/Block 0 Tf 0 g)")
		}},
		{name: "a value in UTF-8", spots: map[int][]spot{1: {{140, 100, "black"}, {60, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V <EFBBBF41> /Q 2 /DA (/Block 40 Tf 0 g)")
		}},
		{name: "a value that is a stream", spots: full, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+fmt.Sprintf("/V %d 0 R", s.stream("", "A")))
		}},
		{name: "text that is longer than its field", spots: map[int][]spot{1: {{140, 100, "black"}, {160, 100, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AAAAAA) /DA (/Block 40 Tf 0 g)")
		}},
		{name: "text that stays within the border", spots: map[int][]spot{1: {{135, 100, "black"}, {145, 100, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", block+"/V (AAAAAA) /DA (/Block 40 Tf 0 g) /MK << /BC [0.5] >> /BS << /W 10 >>")
		}},
		{name: "a button keeps its appearance", spots: map[int][]spot{1: {{55, 55, "black"}, {145, 145, "black"}}}, odd: true, build: func(s *source) {
			form(s, "/NeedAppearances true")
			s.annotated("", fmt.Sprintf("/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Btn /AS /Yes /MK << /CA (n) >> /AP << /N << /Yes %d 0 R >> >>", s.stamp("/BBox [0 0 10 10]")))
		}},
		{name: "a note on the page", spots: map[int][]spot{1: {{70, 130, "black"}, {130, 130, "white"}, {70, 70, "white"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /FreeText /F 4 /Rect [50 50 150 150] /Contents (A) /DA (/Block 40 Tf 0 g)")
		}},
		{name: "a list's frame", spots: map[int][]spot{1: {{55, 100, "black"}, {100, 55, "black"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Ch /Opt [] /MK << /BC [0] >> /BS << /W 10 >>")
		}},
		{name: "a list with two options selected", spots: map[int][]spot{1: {{90, 140, "grey"}, {90, 117, "white"}, {90, 94, "grey"}}}, odd: true, build: func(s *source) {
			form(s, "")
			s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Ch /V [(a) (c)] /DA (/Block 20 Tf 0 g) /Opt [[(a) (A)] [(b) (A)] [(c) (A)]]")
		}},
	} {
		c.run(t)
	}
}

// Letters that can't be printed are named.
func TestLostLettersAreWarnedOf(t *testing.T) {
	s := &source{catalog: "/AcroForm << /Fields [] >>"}
	s.annotated("", "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Tx /V <FEFF004103C0> /DA (/Helv 12 Tf)")
	d := mustOpen(t, s.bytes())
	asIs(t, d, 1)
	if got := strings.Join(d.Warnings(), "\n"); !strings.Contains(got, `of the form field's text "Aπ" only "A" can be printed`) {
		t.Errorf("warned %q", got)
	}
}

// Buttons without an appearance of their own show their frame and, if they are
// on, their sign.
func TestButtonsWithoutAppearance(t *testing.T) {
	const rect = "/Subtype /Widget /F 4 /Rect [50 50 150 150] /FT /Btn "
	for _, c := range []struct {
		name, entries string
		spots         []spot
	}{
		{"a box that is off", "/AS /Off /MK << /BC [0] /BG [0.5] >> /BS << /W 10 >>", []spot{{55, 55, "black"}, {100, 100, "grey"}, {40, 40, "white"}}},
		{"a box that is on", "/AS /Yes /MK << /CA (n) >>", []spot{{100, 100, "black"}, {55, 55, "white"}}},
		{"a box whose value says that it is on", "/V /Yes /MK << /CA (n) >>", []spot{{100, 100, "black"}}},
		{"a box without a sign of its own", "/AS /Yes", []spot{{55, 55, "white"}, {84, 80, "black"}}},
		{"a radio button that is off", "/Ff 32768 /AS /Off /MK << /BC [0] >> /BS << /W 10 >>", []spot{{55, 100, "black"}, {55, 55, "white"}, {100, 100, "white"}}},
		{"a radio button that is on", "/Ff 32768 /AS /a", []spot{{100, 100, "black"}, {55, 55, "white"}}},
		{"a box whose appearances lack the state", "/AS /Yes /MK << /CA (n) >> /AP << /N << /Off 99 0 R >> >>", []spot{{100, 100, "black"}}},
		{"a push button with a caption", "/Ff 65536 /MK << /CA (A) >> /DA (/Helv 90 Tf 0 g)", []spot{{83, 95, "black"}}},
		{"a radio button with another sign than a disc", "/Ff 32768 /AS /Off /MK << /BC [0] /CA (4) >> /BS << /W 10 >>", []spot{{55, 55, "black"}, {100, 100, "white"}}},
		{"one of several buttons of a field", "/Ff 32768 /Parent << /T (tide) /V /ebb >>", []spot{{100, 100, "white"}}},
		{"a push button", "/Ff 65536 /MK << /BG [0.5] /CA () >>", []spot{{100, 100, "grey"}}},
	} {
		faithful{name: c.name, odd: true, spots: map[int][]spot{1: c.spots}, build: func(s *source) {
			s.catalog = "/AcroForm << /Fields [] >>"
			s.annotated("", rect+c.entries)
		}}.run(t)
	}
}
