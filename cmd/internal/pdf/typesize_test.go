package pdf

import (
	"fmt"
	"maps"
	"testing"
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
		got, err := mustOpen(t, s.bytes()).TypeSizes(1)
		if name == "a form in itself" { // as deep as forms may nest
			c.want = map[float64]int{11: maxNesting}
		}
		if err != nil || !maps.Equal(got, c.want) {
			t.Errorf("%s: %v, %v, want %v", name, got, err, c.want)
		}
	}
}
