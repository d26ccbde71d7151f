package pdf

import (
	"fmt"
	"strings"
	"testing"
)

// TestFontsAndWhereTheirShapesAre finds fonts in resources, in forms within
// them, and below composite fonts, and tells which the file brings along.
func TestFontsAndWhereTheirShapesAre(t *testing.T) {
	s := &source{}
	shapes := s.stream("", "the shapes")
	described := func(key string) int {
		return s.add("<< /Type /FontDescriptor /FontName /X /%s %d 0 R >>", key, shapes)
	}
	simple := func(name, kind, more string) int {
		return s.add("<< /Type /Font /Subtype /%s /BaseFont /%s %s >>", kind, name, more)
	}
	below := s.add("<< /Type /Font /Subtype /CIDFontType2 /BaseFont /Tide /FontDescriptor %d 0 R >>", described("FontFile2"))
	bare := s.add("<< /Type /Font /Subtype /CIDFontType2 /BaseFont /Ebb >>")
	within := s.stream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /Font << /F %d 0 R >> >>", simple("Buoy", "TrueType", "")), "")
	fonts := []int{
		simple("Lamp", "Type1", fmt.Sprintf("/FontDescriptor %d 0 R", described("FontFile"))),
		simple("ABCDEF+Glass", "TrueType", fmt.Sprintf("/FontDescriptor %d 0 R", described("FontFile2"))),
		simple("Wick", "Type1", fmt.Sprintf("/FontDescriptor %d 0 R", described("FontFile3"))),
		simple("Helvetica", "Type1", ""),
		simple("Hull", "TrueType", fmt.Sprintf("/FontDescriptor %d 0 R", described("Elsewhere"))),
		simple("Tide", "Type0", fmt.Sprintf("/DescendantFonts [%d 0 R]", below)),
		simple("Ebb", "Type0", fmt.Sprintf("/DescendantFonts [%d 0 R]", bare)),
		s.add("<< /Type /Font /Subtype /Type3 >>"),
	}
	list := ""
	for i, f := range fonts {
		list += fmt.Sprintf("/F%d %d 0 R ", i, f)
	}
	s.square("", fmt.Sprintf("/Resources << /Font << %s >> /XObject << /X %d 0 R >> >>", list, within))
	c, err := NewSequence(mustOpen(t, s.bytes())).Contents(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range c.Fonts {
		got = append(got, fmt.Sprint(f.Name, " ", f.Kind, " ", f.Embedded))
	}
	want := "Buoy TrueType false; Ebb Type0 false; Glass TrueType true; Helvetica Type1 false; Hull TrueType false; " +
		"Lamp Type1 true; Tide Type0 true; Wick Type1 true; without a name Type3 true"
	if strings.Join(got, "; ") != want {
		t.Errorf("got  %s\nwant %s", strings.Join(got, "; "), want)
	}
}
