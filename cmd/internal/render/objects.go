package render

import (
	"context"
	"math"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"

	"foldwright/reorder/geom"
)

// Picture is a picture, made of pixels, on a page.
type Picture struct {
	Box           geom.Rect // around it, in the page's frame
	Width, Height int       // pixels
	// PerMM is how many pixels lie on a millimetre of the page, along the
	// direction in which they are fewer.
	PerMM float64
}

// mostObjects keeps a drawing of endless strokes from taking minutes.
const mostObjects = 5000

// Pictures are the pictures on a page, in the order in which they are drawn; of a
// page of more than 5000 objects those among the first.
func (d *Document) Pictures(ctx context.Context, page int) ([]Picture, error) {
	return ask[[]Picture](ctx, d, request{Want: findPictures, Page: page})
}

func (l leaf) allPictures() (out []Picture) {
	count := call(l.engine.FPDFPage_CountObjects, requests.FPDFPage_CountObjects{Page: l.page}).Count
	for i := range min(count, mostObjects) {
		object := call(l.engine.FPDFPage_GetObject, requests.FPDFPage_GetObject{Page: l.page, Index: i}).PageObject
		out = l.pictures(out, object, l.toFrame, 0)
	}
	return out
}

// pictures adds an object if it is a picture, or those in it if it is a form.
func (l leaf) pictures(out []Picture, object references.FPDF_PAGEOBJECT, m geom.Matrix, level int) []Picture {
	kind := call(l.engine.FPDFPageObj_GetType, requests.FPDFPageObj_GetType{PageObject: object}).Type
	if kind != enums.FPDF_PAGEOBJ_IMAGE && kind != enums.FPDF_PAGEOBJ_FORM {
		return out
	}
	m = matrix(call(l.engine.FPDFPageObj_GetMatrix, requests.FPDFPageObj_GetMatrix{PageObject: object}).Matrix).Then(m)
	if kind == enums.FPDF_PAGEOBJ_IMAGE {
		size := call(l.engine.FPDFImageObj_GetImagePixelSize, requests.FPDFImageObj_GetImagePixelSize{ImageObject: object})
		p := Picture{Box: m.Bounds(geom.Rect{X1: 1, Y1: 1}), Width: int(size.Width), Height: int(size.Height)}
		w, h := math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])
		if w > 0 && h > 0 {
			p.PerMM = min(float64(p.Width)/w, float64(p.Height)/h)
			out = append(out, p)
		}
		return out
	}
	const deepest = 8
	if level == deepest {
		return out
	}
	count := call(l.engine.FPDFFormObj_CountObjects, requests.FPDFFormObj_CountObjects{PageObject: object}).Count
	for i := range min(count, mostObjects) {
		part := call(l.engine.FPDFFormObj_GetObject, requests.FPDFFormObj_GetObject{PageObject: object, Index: uint64(i)})
		out = l.pictures(out, part.PageObject, m, level+1)
	}
	return out
}

func matrix(m structs.FPDF_FS_MATRIX) geom.Matrix {
	return geom.Matrix{float64(m.A), float64(m.B), float64(m.C), float64(m.D), float64(m.E), float64(m.F)}
}
