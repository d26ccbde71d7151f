package render

import (
	"context"
	"image"
	"math"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"

	"foldwright/reorder"
)

// Placed is a page on a canvas.
type Placed struct {
	Page int
	// Matrix maps the page's frame to the canvas, both in mm with y up.
	Matrix reorder.Matrix
	// Clip is the rectangle of the canvas, in mm, that nothing of the page leaves.
	Clip reorder.Rect
}

// Compose draws pages on one white canvas of the given size in mm, in shades
// of grey. Its pixels are those of [Document.Gray] of a page of that size, and
// each page is drawn where it stands, not drawn first and moved then: it looks
// as it does in a file in which it was placed likewise, to the pixel.
func (d *Document) Compose(ctx context.Context, size reorder.Size, dpi float64, pages []Placed) (picture *image.Gray, err error) {
	if len(pages) == 0 {
		return nil, &Error{d.name, 0, ErrNoSuchPage}
	}
	pixels, err := pixelsOf(size, dpi, d.renderer.options.MaxPixels)
	if err != nil {
		return nil, &Error{d.name, 0, err}
	}
	picture = image.NewGray(image.Rectangle{Max: pixels})
	for i := range picture.Pix {
		picture.Pix[i] = 0xff
	}
	toPixels := reorder.Matrix{float64(pixels.X) / size.W, 0, 0, -float64(pixels.Y) / size.H, 0, float64(pixels.Y)}
	for _, p := range pages {
		err := d.drawPage(ctx, p.Page, func(l leaf) error {
			return l.compose(picture, p.Matrix.Then(toPixels), toPixels.Bounds(p.Clip))
		})
		if err != nil {
			return nil, err
		}
	}
	return picture, nil
}

// compose draws the page through a matrix from its frame to pixels, within a
// rectangle of pixels whose edges may lie between them, over a picture.
func (l leaf) compose(picture *image.Gray, m reorder.Matrix, clip reorder.Rect) error {
	drawn := m.Bounds(l.size.Rect())
	around := image.Rect(
		int(math.Floor(max(drawn.X0, clip.X0))), int(math.Floor(max(drawn.Y0, clip.Y0))),
		int(math.Ceil(min(drawn.X1, clip.X1))), int(math.Ceil(min(drawn.Y1, clip.Y1))),
	).Intersect(picture.Bounds())
	if around.Empty() {
		return nil
	}
	origin := around.Min
	m = m.Then(reorder.Translate(-float64(origin.X), -float64(origin.Y)))
	through := l.fromEngine().Then(m)
	size := around.Size()
	draw := func(bitmap references.FPDF_BITMAP) error {
		_, err := l.engine.FPDF_RenderPageBitmapWithMatrix(&requests.FPDF_RenderPageBitmapWithMatrix{
			Bitmap: bitmap, Page: l.page, Flags: asPrinted,
			Matrix: structs.FPDF_FS_MATRIX{
				A: float32(through[0]), B: float32(through[1]), C: float32(through[2]),
				D: float32(through[3]), E: float32(through[4]), F: float32(through[5]),
			},
			// All of it: the bitmap is no larger than the clip, to whole pixels
			// outwards, as the engine takes a clip in a page's content.
			Clipping: structs.FPDF_FS_RECTF{Right: float32(size.X), Bottom: float32(size.Y)},
		})
		if err != nil {
			return err
		}
		return l.drawForm(bitmap, l.onCanvas(m))
	}
	return l.paint(size, draw, func(y int, row []byte) {
		out := picture.Pix[picture.PixOffset(origin.X, origin.Y+y):][:size.X]
		for i := range out {
			// What other pages have drawn stays under the white of this one.
			out[i] = min(out[i], luminance(row[4*i:]))
		}
	})
}

// fromEngine maps the points in which the engine sees the page before it
// applies a matrix of ours, upright and with y down, to the page's frame.
func (l leaf) fromEngine() reorder.Matrix {
	return reorder.Matrix{mmPerPoint, 0, 0, -mmPerPoint, 0, l.size.H}
}

// spot is where a page lies among the pixels of a bitmap, and how it is turned.
type spot struct {
	start, size image.Point
	turned      enums.FPDF_PAGE_ROTATION
}

// onCanvas is the spot to which a matrix from the page's frame to pixels
// brings it, to the nearest pixel and quarter turn.
func (l leaf) onCanvas(m reorder.Matrix) spot {
	b := m.Bounds(l.size.Rect())
	x0, y0 := int(math.Round(b.X0)), int(math.Round(b.Y0))
	s := spot{start: image.Pt(x0, y0), size: image.Pt(int(math.Round(b.X1))-x0, int(math.Round(b.Y1))-y0)}
	right := m.Direction(reorder.Point{X: 1}) // where the page's right hand lies among the pixels, y down
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
