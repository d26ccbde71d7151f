package cli

import (
	"testing"

	"foldwright/cmd/internal/inspect"
	"foldwright/cmd/internal/pdf"
)

// TestInspectionInWords has the lines of an inspection that no script shows.
func TestInspectionInWords(t *testing.T) {
	numbering := func(n inspect.Numbering) string { return numberingText(inspect.Findings{Numbering: n}) }
	fonts := func(f ...inspect.FontFound) string { return fontsText(inspect.Findings{Fonts: f}) }
	inEdge := inspect.PageLengths{{Page: 2, MM: 1}, {Page: 2, MM: 2}, {Page: 5, MM: 1}}
	for _, c := range []struct{ got, want string }{
		{bytesText(1), "1 byte"},
		{bytesText(999), "999 bytes"},
		{bytesText(1000), "1 kB"},
		{bytesText(1_250_001), "1.3 MB"},
		{sizesFoundText([]inspect.SizeFound{{WidthMM: 148, HeightMM: 210, Pages: inspect.PageList{1, 2}}}), "148 x 210 mm"},
		{sizesFoundText([]inspect.SizeFound{
			{WidthMM: 148, HeightMM: 210, Pages: inspect.PageList{2, 3}}, {WidthMM: 150, HeightMM: 210, Pages: inspect.PageList{1}},
			{WidthMM: 150, HeightMM: 212, Pages: inspect.PageList{4}}, {WidthMM: 150, HeightMM: 214, Pages: inspect.PageList{5}},
		}), "148 x 210 mm (2 pages), 150 x 210 mm (page 1), 150 x 212 mm (page 4), 150 x 214 mm (page 5)"},
		{numbering(inspect.Numbering{}), "none was found"},
		{numbering(inspect.Numbering{Printed: true, Labels: true}), "printed on the pages as the file counts them, the file names its pages as well"},
		{numbering(inspect.Numbering{Printed: true, Offset: -3}), "printed on the pages: page 4 is numbered 1"},
		{numbering(inspect.Numbering{Printed: true, Offset: 311}), "printed on the pages: page 1 is numbered 312"},
		{numbering(inspect.Numbering{Printed: true, Offset: -3, Labels: true}), "printed on the pages: page 4 is numbered 1, the file names its pages as well"},
		{fonts(), "none"},
		{fonts(inspect.FontFound{Name: "Gull", Kind: "Type1", Embedded: true}, inspect.FontFound{Name: "Gull", Kind: "Type1", Embedded: true}), "1, all in the file"},
		{fonts(inspect.FontFound{Name: "Gull", Kind: "Type1", Embedded: true}, inspect.FontFound{Name: "Gull", Kind: "TrueType"}, inspect.FontFound{Name: "Tern", Kind: "TrueType"}), "3, 2 of them not in the file"},
		{fonts(inspect.FontFound{Name: "Gull", Kind: "Type1"}), "1, none in the file"},
		{annotationsText(inspect.Findings{Annotations: []pdf.AnnotationFact{{Kind: "Stamp", Printed: 3}}}), "3 Stamp (printed)"},
		{typeText(inspect.PrintedFacts{}), "no text, the pages are pictures or drawings"},
		{picturesText(inspect.PrintedFacts{}), "none"},
		{edgeText(inspect.PrintedFacts{KeepMM: [4]float64{5, 5, 5, 5}}), "no ink in the outermost 5 mm of the paper, which the printer cannot reach"},
		{edgeText(inspect.PrintedFacts{KeepMM: [4]float64{5, 6, 5, 5}, Edge: inEdge}), "ink on 2 pages in the outermost 5, 6, 5 and 5 mm at head, tail, left and right of the paper, which the printer cannot reach"},
		{edgeText(inspect.PrintedFacts{KeepMM: [4]float64{5, 5, 6, 5}}), "no ink in the outermost 5, 5, 6 and 5 mm at head, tail, left and right of the paper, which the printer cannot reach"},
		{edgeText(inspect.PrintedFacts{KeepMM: [4]float64{5, 5, 5, 6}}), "no ink in the outermost 5, 5, 5 and 6 mm at head, tail, left and right of the paper, which the printer cannot reach"},
		{foldText(inspect.PrintedFacts{Fold: inEdge}), "ink within 10 mm on 2 pages"},
		{marginsText(&inspect.Margins{InnerMM: 17.2, ForeEdgeMM: 23.4}), "17 mm at the spine, 23 mm at the fore-edge"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
