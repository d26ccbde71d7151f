package pdf

import (
	"fmt"
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
		{"ink", "/Subtype /Ink /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /InkList [[50 100 150 100]]", []spot{{100, 100, "black"}, {100, 120, "white"}}, false},
		{"line", "/Subtype /Line /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /L [50 100 150 100]", []spot{{100, 100, "black"}, {100, 120, "white"}}, true},
		{"polygon", "/Subtype /Polygon /Rect [50 50 150 150] /C [0 0 0] /IC [0.5 0.5 0.5] /BS << /W 10 >> /Vertices [50 50 150 50 150 150 50 150]", []spot{{100, 100, "grey"}, {150, 100, "black"}}, true},
		{"polyline", "/Subtype /PolyLine /Rect [50 50 150 150] /C [0 0 0] /BS << /W 10 >> /Vertices [50 50 150 50 150 150]", []spot{{100, 100, "white"}, {150, 100, "black"}}, true},
		{"free text", "/Subtype /FreeText /Rect [50 50 150 150] /C [0.5 0.5 0.5] /Contents (tide) /DA (0 g /Helv 12 Tf)", []spot{{100, 70, "grey"}}, true},
		{"note", "/Subtype /Text /Rect [50 130 70 150] /Contents (tide)", []spot{{54, 140, "grey"}}, true},
		{"a stamp can't be guessed", "/Subtype /Stamp /Rect [50 50 150 150]", []spot{{100, 100, "white"}}, false},
	} {
		faithful{name: c.name, odd: c.odd, spots: map[int][]spot{1: c.spots}, build: func(s *source) {
			s.annotated("", "/F 4 "+c.entries)
		}}.run(t)
	}
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
	} {
		c.run(t)
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
		{"a push button", "/Ff 65536 /MK << /BG [0.5] /CA () >>", []spot{{100, 100, "grey"}}},
	} {
		faithful{name: c.name, odd: true, spots: map[int][]spot{1: c.spots}, build: func(s *source) {
			s.catalog = "/AcroForm << /Fields [] >>"
			s.annotated("", rect+c.entries)
		}}.run(t)
	}
}
