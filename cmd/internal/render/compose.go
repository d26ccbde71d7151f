package render

import (
	"context"
	"image"
	"math"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"

	"foldwright/reorder/geom"
)

// Placed is a page on a canvas.
type Placed struct {
	Page int
	// Matrix maps the page's frame to the canvas, both in mm with y up.
	Matrix geom.Matrix
	// Clip is the rectangle of the canvas, in mm, that nothing of the page leaves.
	Clip geom.Rect
}

// Compose draws pages on one white canvas of the given size in mm, in shades
// of grey. Its pixels are those of [Document.Gray] of a page of that size, and
// each page is drawn where it stands, not drawn first and moved then: it looks
// as it does in a file in which it was placed likewise, to the pixel.
func (d *Document) Compose(ctx context.Context, size geom.Size, dpi float64, pages []Placed) (picture *image.Gray, err error) {
	if len(pages) == 0 {
		return nil, &Error{d.name, 0, ErrNoSuchPage}
	}
	pixels, err := pixelsOf(size, dpi, d.renderer.options.MaxPixels)
	if err != nil {
		return nil, &Error{d.name, 0, err}
	}
	picture = White(pixels)
	toPixels := geom.Matrix{float64(pixels.X) / size.W, 0, 0, -float64(pixels.Y) / size.H, 0, float64(pixels.Y)}
	for _, p := range pages {
		part, err := ask[*image.Gray](ctx, d, request{Want: drawPlaced, Page: p.Page, Placed: placing{picture.Rect, p.Matrix.Then(toPixels), toPixels.Bounds(p.Clip)}})
		if err != nil {
			return nil, err
		}
		layOver(picture, part)
	}
	return picture, nil
}

// White is an empty picture.
func White(pixels image.Point) *image.Gray {
	picture := image.NewGray(image.Rectangle{Max: pixels})
	for i := range picture.Pix {
		picture.Pix[i] = 0xff
	}
	return picture
}

// layOver draws a part over a picture. What other pages have drawn stays under its white.
func layOver(picture, part *image.Gray) {
	for y := part.Rect.Min.Y; y < part.Rect.Max.Y; y++ {
		out := picture.Pix[picture.PixOffset(part.Rect.Min.X, y):][:part.Rect.Dx()]
		for i, v := range part.Pix[part.PixOffset(part.Rect.Min.X, y):][:part.Rect.Dx()] {
			out[i] = min(out[i], v)
		}
	}
}

func (l leaf) compose(p placing) *image.Gray {
	drawn := p.Matrix.Bounds(l.size.Rect()).Common(p.Clip)
	around := image.Rect(
		int(math.Floor(drawn.X0)), int(math.Floor(drawn.Y0)), int(math.Ceil(drawn.X1)), int(math.Ceil(drawn.Y1)),
	).Intersect(p.Canvas)
	part := image.NewGray(around)
	if around.Empty() {
		return part
	}
	m := p.Matrix.Then(geom.Translate(-float64(around.Min.X), -float64(around.Min.Y)))
	// The engine sees the page, before it applies a matrix of ours, in points, upright and with y down.
	through := geom.Matrix{mmPerPoint, 0, 0, -mmPerPoint, 0, l.size.H}.Then(m)
	size := around.Size()
	l.paint(size, func(bitmap references.FPDF_BITMAP) {
		call(l.engine.FPDF_RenderPageBitmapWithMatrix, requests.FPDF_RenderPageBitmapWithMatrix{
			Bitmap: bitmap, Page: l.page, Flags: asPrinted,
			Matrix: structs.FPDF_FS_MATRIX{
				A: float32(through[0]), B: float32(through[1]), C: float32(through[2]),
				D: float32(through[3]), E: float32(through[4]), F: float32(through[5]),
			},
			// All of it: the bitmap is no larger than the clip, to whole pixels
			// outwards, as the engine takes a clip in a page's content.
			Clipping: structs.FPDF_FS_RECTF{Right: float32(size.X), Bottom: float32(size.Y)},
		})
		l.drawForm(bitmap, l.onCanvas(m))
	}, luminances(part))
	return part
}

// spot is where a page lies among the pixels of a bitmap, and how it is turned.
type spot struct {
	start, size image.Point
	turned      enums.FPDF_PAGE_ROTATION
}

// onCanvas is the spot to which a matrix from the page's frame to pixels
// brings it, to the nearest pixel and quarter turn.
func (l leaf) onCanvas(m geom.Matrix) spot {
	b := m.Bounds(l.size.Rect())
	x0, y0 := int(math.Round(b.X0)), int(math.Round(b.Y0))
	s := spot{start: image.Pt(x0, y0), size: image.Pt(int(math.Round(b.X1))-x0, int(math.Round(b.Y1))-y0)}
	right := m.Direction(geom.Point{X: 1}) // where the page's right hand lies among the pixels, y down
	switch {
	case math.Abs(right.X) >= math.Abs(right.Y) && right.X < 0:
		s.turned = enums.FPDF_PAGE_ROTATION_180_CW
	case math.Abs(right.X) >= math.Abs(right.Y):
		s.turned = enums.FPDF_PAGE_ROTATION_NONE
	case right.Y > 0:
		s.turned = enums.FPDF_PAGE_ROTATION_90_CW
	default:
		s.turned = enums.FPDF_PAGE_ROTATION_270_CW
	}
	return s
}
