package pdf

import (
	"fmt"
	"maps"
	"math"
	"strings"
	"testing"

	"foldwright/reorder/geom"
)

// TestTypeSizes sets type of 11 pt in every way that changes its size.
func TestTypeSizes(t *testing.T) {
	for name, c := range map[string]struct {
		content, entries string
		want             map[float64]int
	}{
		"plain":             {content: "BT /F 11 Tf (tide) Tj ET", want: map[float64]int{11: 4}},
		"blanks left out":   {content: "BT /F 11 Tf (ebb and) ' ET", want: map[float64]int{11: 6}},
		"pieces":            {content: "BT /F 11 Tf [(ti) -20 (de)] TJ ET", want: map[float64]int{11: 4}},
		"text matrix":       {content: "BT /F 1 Tf 11 0 0 11 0 0 Tm (tide) Tj ET", want: map[float64]int{11: 4}},
		"turned":            {content: "BT /F 1 Tf 0 11 -11 0 0 0 Tm (tide) Tj ET", want: map[float64]int{11: 4}},
		"user space":        {content: "q 2 0 0 2 0 0 cm BT /F 5.5 Tf (tide) Tj ET Q BT (ebb) Tj ET", want: map[float64]int{11: 4}},
		"kept by q":         {content: "/F 11 Tf q /F 20 Tf BT (ebb) Tj ET Q BT (tide) Tj ET", want: map[float64]int{20: 3, 11: 4}},
		"two bytes":         {content: "BT /W 11 Tf <0001000200030004> Tj ET", want: map[float64]int{11: 4}},
		"drawn letters":     {content: "BT /D 11 Tf (tide) Tj ET", want: map[float64]int{11: 4}},
		"a form":            {content: "0.5 0 0 0.5 0 0 cm /X Do", want: map[float64]int{11: 4}},
		"a form in itself":  {content: "/Y Do", want: map[float64]int{11: 4}},
		"behind a picture":  {content: "BI /W 9 ID (/F 9 Tf EIEI) EI BT /F 11 Tf (tide) Tj ET", want: map[float64]int{11: 4}},
		"a larger unit":     {content: "BT /F 5.5 Tf (tide) Tj ET", entries: "/UserUnit 2", want: map[float64]int{11: 4}},
		"none":              {content: "0 0 9 9 re f", want: map[float64]int{}},
		"more Q than q":     {content: "Q Q BT /F 11 Tf (tide) Tj ET", want: map[float64]int{11: 4}},
		"what is no matrix": {content: "/F cm 1 2 cm BT /F 11 Tf /F Tm (tide) Tj ET", want: map[float64]int{11: 4}},
	} {
		s := &source{}
		plain := s.add("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>")
		wide := s.add("<< /Type /Font /Subtype /Type0 /BaseFont /Tide >>")
		drawn := s.add("<< /Type /Font /Subtype /Type3 /FontMatrix [0.01 0 0 0.01 0 0] /FontBBox [0 0 100 100] >>")
		fonts := fmt.Sprintf("/Font << /F %d 0 R /W %d 0 R /D %d 0 R >>", plain, wide, drawn)
		form := s.stream("/Subtype /Form /BBox [0 0 9 9] /Matrix [2 0 0 2 0 0]", "BT /F 11 Tf (tide) Tj ET")
		itself := len(s.objects) + 1
		s.stream(fmt.Sprintf("/Subtype /Form /BBox [0 0 9 9] /Resources << %s /XObject << /Y %d 0 R >> >>", fonts, itself), "BT /F 11 Tf (t) Tj ET /Y Do")
		s.square(c.content, fmt.Sprintf("/Resources << %s /XObject << /X %d 0 R /Y %d 0 R >> >> %s", fonts, form, itself, c.entries))
		got, err := mustOpen(t, s.bytes()).Content(1)
		if name == "a form in itself" { // as deep as forms may nest
			c.want = map[float64]int{11: maxNesting}
		}
		if err != nil || !maps.Equal(got.Type, c.want) {
			t.Errorf("%s: %v, %v, want %v", name, got.Type, err, c.want)
		}
	}
}

// TestPicturesOnAPage has a picture of 100 by 50 pixels drawn by the page, by a form, and turned.
func TestPicturesOnAPage(t *testing.T) {
	const mm = 25.4 / 72
	s := &source{}
	picture := s.stream("/Subtype /Image /Width 100 /Height 50 /BitsPerComponent 8 /ColorSpace /DeviceGray", strings.Repeat("x", 5000))
	form := s.stream(fmt.Sprintf("/Subtype /Form /BBox [0 0 200 200] /Matrix [0.5 0 0 0.5 0 0] /Resources << /XObject << /I %d 0 R >> >>", picture), "q 100 0 0 50 0 0 cm /I Do Q")
	s.square("q 100 0 0 50 9 9 cm /I Do Q /X Do q 0 100 -50 0 60 0 cm /I Do Q BI /W 9 /H 9 ID xxx EI /None Do",
		fmt.Sprintf("/Rotate 90 /Resources << /XObject << /I %d 0 R /X %d 0 R >> >>", picture, form))
	got, err := mustOpen(t, s.bytes()).Content(1)
	if err != nil || len(got.Pictures) != 3 {
		t.Fatalf("%+v, %v", got, err)
	}
	// The page is shown turned, so what is wide on it is seen high.
	for i, want := range []Picture{
		{geom.Size{W: 50 * mm, H: 100 * mm}, 100, 50, 1 / mm},
		{geom.Size{W: 25 * mm, H: 50 * mm}, 100, 50, 2 / mm},
		{geom.Size{W: 100 * mm, H: 50 * mm}, 100, 50, 1 / mm},
	} {
		p := got.Pictures[i]
		off := max(math.Abs(p.Size.W-want.Size.W), math.Abs(p.Size.H-want.Size.H), math.Abs(p.PerMM-want.PerMM))
		if off > 1e-9 || p.Width != want.Width || p.Height != want.Height {
			t.Errorf("picture %d: %+v, want %+v", i, p, want)
		}
	}
}
