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

// Gray draws a page on white in shades of grey. The whole page is fitted to
// the nearest whole number of pixels for dpi.
func (d *Document) Gray(ctx context.Context, page int, dpi float64) (*image.Gray, error) {
	return ask[*image.Gray](ctx, d, request{Want: drawGray, Page: page, DPI: dpi})
}

// RGBA draws a page on white in colour, opaque. The whole page is fitted to
// the nearest whole number of pixels for dpi.
func (d *Document) RGBA(ctx context.Context, page int, dpi float64) (*image.RGBA, error) {
	return ask[*image.RGBA](ctx, d, request{Want: drawRGBA, Page: page, DPI: dpi})
}

func (l leaf) rgba(dpi float64) *image.RGBA {
	size := l.pixels(dpi)
	picture := image.NewRGBA(image.Rectangle{Max: size})
	l.draw(size, func(y int, row []byte) {
		out := picture.Pix[y*picture.Stride:][:len(row)]
		for i := 0; i < len(row); i += 4 {
			out[i], out[i+1], out[i+2], out[i+3] = row[i+2], row[i+1], row[i], 0xff
		}
	})
	return picture
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
func (l leaf) pixels(dpi float64) image.Point {
	size, err := pixelsOf(l.size, dpi, l.most)
	check(err)
	return size
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
func (l leaf) gray(dpi float64) *image.Gray {
	size := l.pixels(dpi)
	picture := image.NewGray(image.Rectangle{Max: size})
	l.draw(size, luminances(picture))
	return picture
}

// luminances fills a picture row by row.
func luminances(picture *image.Gray) func(y int, bgrx []byte) {
	return func(y int, row []byte) {
		out := picture.Pix[y*picture.Stride:][:picture.Rect.Dx()]
		for i := range out {
			out[i] = luminance(row[4*i:])
		}
	}
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
func (l leaf) draw(size image.Point, row func(y int, bgrx []byte)) {
	l.paint(size, func(bitmap references.FPDF_BITMAP) {
		call(l.engine.FPDF_RenderPageBitmap, requests.FPDF_RenderPageBitmap{
			Bitmap: bitmap, Page: l.page, SizeX: size.X, SizeY: size.Y, Flags: asPrinted,
		})
		l.drawForm(bitmap, spot{size: size})
	}, row)
}

// paint makes a white bitmap, lets draw draw on it and hands out its rows from
// the head down, four bytes a pixel: blue, green, red and one without meaning.
func (l leaf) paint(size image.Point, draw func(references.FPDF_BITMAP), row func(y int, bgrx []byte)) {
	bitmap := call(l.engine.FPDFBitmap_CreateEx, requests.FPDFBitmap_CreateEx{
		Width: size.X, Height: size.Y, Format: enums.FPDF_BITMAP_FORMAT_BGRX, Pointer: uint64(0),
	}).Bitmap
	stride := call(l.engine.FPDFBitmap_GetStride, requests.FPDFBitmap_GetStride{Bitmap: bitmap}).Stride
	if stride < 4*size.X {
		check(ErrMemory) // the engine has no other way to say that it got none
	}
	call(l.engine.FPDFBitmap_FillRect, requests.FPDFBitmap_FillRect{
		Bitmap: bitmap, Width: size.X, Height: size.Y, Color: 0xffffffff,
	})
	draw(bitmap)
	buffer := call(l.engine.FPDFBitmap_GetBuffer, requests.FPDFBitmap_GetBuffer{Bitmap: bitmap}).Buffer
	for y := range size.Y {
		row(y, buffer[y*stride:][:4*size.X])
	}
	call(l.engine.FPDFBitmap_Destroy, requests.FPDFBitmap_Destroy{Bitmap: bitmap})
}

// drawForm draws the fields of the document's form that lie on the page,
// which are not drawn with the rest of it, as the page lies there.
func (l leaf) drawForm(bitmap references.FPDF_BITMAP, at spot) {
	kind := call(l.engine.FPDF_GetFormType, requests.FPDF_GetFormType{Document: l.document})
	if kind.FormType == enums.FPDF_FORMTYPE_NONE {
		return
	}
	fields := l.showAsPrinted()
	form := call(l.engine.FPDFDOC_InitFormFillEnvironment, requests.FPDFDOC_InitFormFillEnvironment{
		Document: l.document, FormFillInfo: nobody,
	}).FormHandle
	call(l.engine.FPDF_FFLDraw, requests.FPDF_FFLDraw{
		FormHandle: form, Bitmap: bitmap, Page: l.page, Flags: asPrinted,
		StartX: at.start.X, StartY: at.start.Y, SizeX: at.size.X, SizeY: at.size.Y, Rotate: at.turned,
	})
	call(l.engine.FPDFDOC_ExitFormFillEnvironment, requests.FPDFDOC_ExitFormFillEnvironment{FormHandle: form})
	for _, had := range fields {
		call(l.engine.FPDFAnnot_SetFlags, had)
		l.closeAnnotation(had.Annotation)
	}
}

func (l leaf) closeAnnotation(a references.FPDF_ANNOTATION) {
	call(l.engine.FPDFPage_CloseAnnot, requests.FPDFPage_CloseAnnot{Annotation: a})
}

// showAsPrinted gives the fields on the page the flags with which they are
// seen exactly if they are printed (ISO 32000-1, table 165), since the engine draws a
// form as on a screen even for print. It returns the fields with the flags that they had.
func (l leaf) showAsPrinted() (fields []requests.FPDFAnnot_SetFlags) {
	for i := range call(l.engine.FPDFPage_GetAnnotCount, requests.FPDFPage_GetAnnotCount{Page: l.page}).Count {
		got, err := l.engine.FPDFPage_GetAnnot(&requests.FPDFPage_GetAnnot{Page: l.page, Index: i})
		if err != nil {
			continue // something else than a dictionary
		}
		annot := got.Annotation
		if call(l.engine.FPDFAnnot_GetSubtype, requests.FPDFAnnot_GetSubtype{Annotation: annot}).Subtype != enums.FPDF_ANNOT_SUBTYPE_WIDGET {
			l.closeAnnotation(annot)
			continue
		}
		had := call(l.engine.FPDFAnnot_GetFlags, requests.FPDFAnnot_GetFlags{Annotation: annot}).Flags
		fields = append(fields, requests.FPDFAnnot_SetFlags{Annotation: annot, Flags: had})
		flags := had &^ enums.FPDF_ANNOT_FLAG_NOVIEW
		if flags&enums.FPDF_ANNOT_FLAG_PRINT == 0 {
			flags |= enums.FPDF_ANNOT_FLAG_HIDDEN
		}
		call(l.engine.FPDFAnnot_SetFlags, requests.FPDFAnnot_SetFlags{Annotation: annot, Flags: flags})
	}
	return fields
}

// nobody answers what the engine would ask a person at a screen.
var nobody = structs.FPDF_FORMFILLINFO{
	FFI_Invalidate:         func(references.FPDF_PAGE, float64, float64, float64, float64) {},
	FFI_SetCursor:          func(enums.FXCT) {},
	FFI_SetTimer:           func(int, func(int)) int { return 0 },
	FFI_KillTimer:          func(int) {},
	FFI_GetLocalTime:       func() structs.FPDF_SYSTEMTIME { return structs.FPDF_SYSTEMTIME{} },
	FFI_GetPage:            func(references.FPDF_DOCUMENT, int) *references.FPDF_PAGE { return nil },
	FFI_GetRotation:        func(references.FPDF_PAGE) enums.FPDF_PAGE_ROTATION { return enums.FPDF_PAGE_ROTATION_NONE },
	FFI_ExecuteNamedAction: func(string) {},
}
