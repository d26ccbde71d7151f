package bench

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"strings"

	"foldwright/cmd/internal/testkit/pdftest"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/goregular"
)

// words of the keepers of an invented lighthouse.
var words = strings.Fields(`the the the a a of of and and to in lamp keeper tide wind glass stair oil wick storm
gull harbour rope stores barrel north east fog bell morning night light watch sea stone wall boat
trimmed carried counted lit found wrote turned slept heard mended painted cold grey bright slow
early late twice again before after under over by with from until almost never always`)

// book is a PDF of A5 pages. Nothing in it depends on the clock or on chance, but for the
// order in which fpdf writes pictures of the same width.
type book struct {
	kind  string // a manual with outline and links; plain text in a font that is not in the file; pictures; a scan
	pages int
	seed  uint64
}

func (b book) write(path string) error {
	doc := pdftest.New(148, 210)
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(18, 18, 18)
	switch b.kind {
	case "manual", "pictures", "scan":
		doc.AddUTF8FontFromBytes("Go", "", goregular.TTF)
		doc.SetFont("Go", "", 7.8)
	case "plain":
		doc.SetFont("Times", "", 9)
	default:
		return fmt.Errorf("there are no books of the kind %q", b.kind)
	}
	random := rand.New(rand.NewPCG(b.seed, 7))
	start := doc.AddLink()
	for page := 1; page <= b.pages; page++ {
		doc.AddPage()
		lines := 46
		switch b.kind {
		case "scan":
			drawPicture(doc, page, image.Pt(1240, 1754), 85, 0, 148)
			continue
		case "pictures":
			drawPicture(doc, page, image.Pt(480, 320), 60, 18, 112)
			doc.SetY(98)
			lines = 24
		}
		linked := b.kind != "plain"
		if page == 1 && linked {
			doc.SetLink(start, 0, 1)
		}
		for part := 0; part < 3 && linked; part++ {
			doc.Bookmark(fmt.Sprintf("Watch %d, %s", 3*page+part, words[random.IntN(len(words))]), min(part, 1), 0)
		}
		for i := range lines {
			var line strings.Builder
			for line.Len() < 76 {
				line.WriteString(words[random.IntN(len(words))])
				line.WriteByte(' ')
			}
			if i%3 == 0 && linked {
				doc.Link(18+float64(random.IntN(80)), doc.GetY(), 20, 3.5, start)
			}
			doc.CellFormat(112, 3.75, line.String(), "", 1, "L", false, 0, "")
		}
		doc.SetXY(18, 196)
		doc.CellFormat(112, 5, fmt.Sprint(page), "", 0, "C", false, 0, "")
	}
	return doc.OutputFileAndClose(path)
}

// drawPicture puts the photograph of this number so far from the left and upper edge.
func drawPicture(doc *fpdf.Fpdf, number int, pixels image.Point, quality int, edge, width float64) {
	name := fmt.Sprint("picture", number)
	doc.RegisterImageOptionsReader(name, fpdf.ImageOptions{ImageType: "JPEG"}, bytes.NewReader(photograph(number, pixels, quality)))
	doc.ImageOptions(name, edge, edge, width, 0, false, fpdf.ImageOptions{}, 0, "")
}

// photograph is a picture of sea and sky with the grain of film, a different
// one for each number. Grain is what makes photographs and scans large.
func photograph(number int, pixels image.Point, quality int) []byte {
	random := rand.New(rand.NewPCG(uint64(number), 3))
	picture := image.NewRGBA(image.Rectangle{Max: pixels})
	horizon := 0.3 + 0.4*random.Float64()
	wave := 3 + 9*random.Float64()
	for y := range pixels.Y {
		v := float64(y) / float64(pixels.Y)
		for x := range pixels.X {
			u := float64(x) / float64(pixels.X)
			light := 210 - 60*v
			if v > horizon {
				light = 90 + 30*math.Sin(u*wave*6+v*v*80)
			}
			grain := float64(random.Uint32()>>26) - 32
			c := uint8(max(0, min(255, light+grain)))
			picture.SetRGBA(x, y, color.RGBA{c, c, uint8(min(255, int(c)+12)), 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: quality}); err != nil {
		return nil // a buffer takes everything, and the size is legal
	}
	return out.Bytes()
}
