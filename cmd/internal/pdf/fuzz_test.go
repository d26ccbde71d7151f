package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"foldwright/reorder/geom"
)

// FuzzSource reads and prints whatever comes. The seeds are sources with every
// feature that has code of its own, and small files of the pdfcpu module.
func FuzzSource(f *testing.F) {
	f.Add(book().bytes())
	s := &source{tree: "/Rotate 90 /CropBox [0 0 150 150]"}
	layer := s.add("<< /Type /OCG /Name (tides) /Usage << /Print << /PrintState /OFF >> >> >>")
	s.catalog = fmt.Sprintf("/OCProperties << /OCGs [%d 0 R] /D << /OFF [%[1]d 0 R] >> >> /AcroForm << /NeedAppearances true /DA (/Helv 0 Tf 0 g) >>", layer)
	inner := s.stream("/Subtype /Form /BBox [0 0 9 9]", "/X Do /P sh")
	s.annotated(fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> /Properties << /L %d 0 R >> /ExtGState << /G << /BM /Screen >> >> >> /Group << /S /Transparency >>", inner, layer),
		fmt.Sprintf("/F 4 /Subtype /Stamp /Rect [0 0 9 9] /OC << /Type /OCMD /VE [/Not %d 0 R] >> /AP << /N << /On %d 0 R >> >> /AS /On", layer, inner),
		"/F 4 /Subtype /Widget /FT /Tx /V (keeper\\nof the light) /Ff 4096 /Rect [0 0 99 99] /MK << /R 90 /BG [1] /BC [0 0 0] >>",
		"/F 4 /Subtype /Widget /FT /Ch /V [(a)] /Opt [[(a) (b)]] /Rect [0 0 99 99]",
		"/F 4 /Subtype /Squiggly /Rect [0 0 99 9] /QuadPoints [0 9 99 9 0 0 99 0]",
		"/F 4 /Subtype /Line /Rect [0 0 99 9] /L [0 0 99 9] /LE [/OpenArrow /ClosedArrow]",
		"/F 4 /Subtype /FreeText /Rect [0 0 99 9] /Contents (tide) /DA (/Helv 9 Tf 1 0 0 rg)",
		"/F 4 /Subtype /Circle /Rect [0 0 99 9] /IC [0] /BS << /S /D >>")
	f.Add(s.bytes())
	files, err := filepath.Glob(filepath.Join(testdata(f), "*.pdf"))
	if err != nil || len(files) == 0 {
		f.Fatalf("no seeds: %v", err)
	}
	for _, path := range files {
		if data, err := os.ReadFile(path); err == nil && len(data) < 40<<10 {
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d := &Document{path: "fuzz", digest: func() (string, error) { return "", nil }}
		if d.load(t.Context(), bytes.NewReader(data), int64(len(data)), "", pageTree) != nil {
			return
		}
		for _, p := range d.Pages()[:min(len(d.Pages()), 20)] {
			side := Side{Pages: []Placed{{Page: p.Number, Matrix: geom.Identity, Clip: p.Visible(), Box: p.Media}}}
			if _, err := d.Content(p.Number); errors.Is(err, ErrInternal) {
				t.Fatal(err)
			}
			err := d.Write(t.Context(), io.Discard, PrintFile{Paper: a4, Sides: []Side{side}})
			if errors.Is(err, ErrInternal) {
				t.Fatal(err)
			}
		}
	})
}
