package render

import (
	"context"
	"image"
	"math"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"foldwright/reorder/geom"
)

// Gray draws a page on white in shades of grey. The whole page is fitted to
// the nearest whole number of pixels for dpi.
func (d *Document) Gray(ctx context.Context, page int, dpi float64) (*image.Gray, error) {
	return askPage[*image.Gray](ctx, d, drawGray{page, dpi})
}

type drawGray struct {
	Page int
	DPI  float64
}

func (r drawGray) task() task { return task{r.Page, drawn} }

func (r drawGray) answer(e engaged) (any, error) {
	return e.onPage(r.Page, func(l leaf) (any, error) { return l.gray(r.DPI) })
}

// RGBA draws a page on white in colour, opaque. The whole page is fitted to
// the nearest whole number of pixels for dpi.
func (d *Document) RGBA(ctx context.Context, page int, dpi float64) (*image.RGBA, error) {
	return askPage[*image.RGBA](ctx, d, drawRGBA{page, dpi})
}

type drawRGBA struct {
	Page int
	DPI  float64
}

func (r drawRGBA) task() task { return task{r.Page, drawn} }

func (r drawRGBA) answer(e engaged) (any, error) {
	return e.onPage(r.Page, func(l leaf) (any, error) { return l.rgba(r.DPI) })
}

func (l leaf) rgba(dpi float64) (*image.RGBA, error) {
	size, err := l.pixels(dpi)
	if err != nil {
		return nil, err
	}
	picture := image.NewRGBA(image.Rectangle{Max: size})
	return picture, l.draw(size, func(y int, row []byte) {
		out := picture.Pix[y*picture.Stride:][:len(row)]
		for i := 0; i < len(row); i += 4 {
			out[i], out[i+1], out[i+2], out[i+3] = row[i+2], row[i+1], row[i], 0xff
		}
	})
}

// Ink is the smallest rectangle, in mm in the page's frame, around everything
// darker than threshold (0 black, 255 white), as far as the pixels of dpi
// show it; found is false on a page without.
func (d *Document) Ink(ctx context.Context, page int, dpi float64, threshold uint8) (bounds geom.Rect, found bool, err error) {
	got, err := askPage[ink](ctx, d, findInk{page, dpi, threshold})
	return got.Bounds, got.Found, err
}

type findInk struct {
	Page      int
	DPI       float64
	Threshold uint8
}

// ink is the answer to findInk.
type ink struct {
	Bounds geom.Rect
	Found  bool
}

func (r findInk) task() task { return task{r.Page, drawn} }

func (r findInk) answer(e engaged) (any, error) {
	return e.onPage(r.Page, func(l leaf) (any, error) { return l.ink(r.DPI, r.Threshold) })
}

func (l leaf) ink(dpi float64, threshold uint8) (ink, error) {
	picture, err := l.gray(dpi)
	if err != nil {
		return ink{}, err
	}
	dark, found := Dark(picture, threshold)
	if !found {
		return ink{}, nil
	}
	all := picture.Bounds()
	x, y := l.size.W/float64(all.Dx()), l.size.H/float64(all.Dy())
	return ink{geom.Rect{
		X0: float64(dark.Min.X) * x, X1: float64(dark.Max.X) * x,
		Y0: l.size.H - float64(dark.Max.Y)*y, Y1: l.size.H - float64(dark.Min.Y)*y,
	}, true}, nil
}

// Dark is the smallest rectangle of pixels around everything darker than threshold.
func Dark(picture *image.Gray, threshold uint8) (bounds image.Rectangle, found bool) {
	all := picture.Bounds()
	for y := all.Min.Y; y < all.Max.Y; y++ {
		row := picture.Pix[picture.PixOffset(all.Min.X, y):][:all.Dx()]
		first, last := -1, -1
		for x, v := range row {
			if v < threshold {
				if first < 0 {
					first = x
				}
				last = x
			}
		}
		if first >= 0 {
			bounds = bounds.Union(image.Rect(all.Min.X+first, y, all.Min.X+last+1, y+1))
		}
	}
	return bounds, !bounds.Empty()
}

// pixels is the size of a picture of the page.
func (l leaf) pixels(dpi float64) (image.Point, error) {
	return pixelsOf(l.size, dpi, l.most)
}

func pixelsOf(size geom.Size, dpi float64, most int) (image.Point, error) {
	w := max(1, math.Round(size.W/25.4*dpi))
	h := max(1, math.Round(size.H/25.4*dpi))
	if !(w*h <= float64(most)) {
		return image.Point{}, ErrTooLarge
	}
	return image.Pt(int(w), int(h)), nil
}

// gray draws the page in colour and takes the luminance. PDFium could draw in
// grey itself, but then sets each letter on a whole pixel, so that the same
// text looks different on a page and where that page stands on a sheet.
func (l leaf) gray(dpi float64) (*image.Gray, error) {
	size, err := l.pixels(dpi)
	if err != nil {
		return nil, err
	}
	picture := image.NewGray(image.Rectangle{Max: size})
	return picture, l.draw(size, func(y int, row []byte) {
		out := picture.Pix[y*picture.Stride:][:size.X]
		for i := range out {
			out[i] = luminance(row[4*i:])
		}
	})
}

// luminance is that of a pixel's blue, green and red by ITU-R BT.601, as image/color has it.
func luminance(bgr []byte) uint8 {
	if bgr[0] == bgr[1] && bgr[1] == bgr[2] {
		return bgr[0] // nearly every pixel of a book
	}
	b, g, r := int(bgr[0]), int(bgr[1]), int(bgr[2])
	return uint8((299*r + 587*g + 114*b + 500) / 1000)
}

// asPrinted is what a printer is sent: annotations by their print flag, layers
// in their printing state.
const asPrinted = enums.FPDF_RENDER_FLAG_ANNOT | enums.FPDF_RENDER_FLAG_PRINTING

// draw draws the whole page as [leaf.paint] does.
func (l leaf) draw(size image.Point, row func(y int, bgrx []byte)) error {
	return l.paint(size, func(bitmap references.FPDF_BITMAP) error {
		if _, err := l.engine.FPDF_RenderPageBitmap(&requests.FPDF_RenderPageBitmap{
			Bitmap: bitmap, Page: l.page, SizeX: size.X, SizeY: size.Y, Flags: asPrinted,
		}); err != nil {
			return err
		}
		return l.drawForm(bitmap, spot{size: size})
	}, row)
}

// paint makes a white bitmap, lets draw draw on it and hands out its rows from
// the head down, four bytes a pixel: blue, green, red and one without meaning.
func (l leaf) paint(size image.Point, draw func(references.FPDF_BITMAP) error, row func(y int, bgrx []byte)) error {
	created, err := l.engine.FPDFBitmap_CreateEx(&requests.FPDFBitmap_CreateEx{
		Width: size.X, Height: size.Y, Format: enums.FPDF_BITMAP_FORMAT_BGRX, Pointer: uint64(0),
	})
	if err != nil {
		return err
	}
	bitmap := created.Bitmap
	line, err := l.engine.FPDFBitmap_GetStride(&requests.FPDFBitmap_GetStride{Bitmap: bitmap})
	if err != nil {
		return err
	}
	if line.Stride < 4*size.X {
		// The engine has no other way to say that it got no memory.
		return ErrMemory
	}
	if _, err := l.engine.FPDFBitmap_FillRect(&requests.FPDFBitmap_FillRect{
		Bitmap: bitmap, Width: size.X, Height: size.Y, Color: 0xffffffff,
	}); err != nil {
		return err
	}
	if err := draw(bitmap); err != nil {
		return err
	}
	buffer, err := l.engine.FPDFBitmap_GetBuffer(&requests.FPDFBitmap_GetBuffer{Bitmap: bitmap})
	if err != nil {
		return err
	}
	for y := range size.Y {
		row(y, buffer.Buffer[y*line.Stride:][:4*size.X])
	}
	_, err = l.engine.FPDFBitmap_Destroy(&requests.FPDFBitmap_Destroy{Bitmap: bitmap})
	return err
}
