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
	return askPage[[]Picture](ctx, d, findPictures{page})
}

type findPictures struct{ Page int }

func (r findPictures) task() task { return task{r.Page, read} }

func (r findPictures) answer(e engaged) (any, error) {
	return e.onPage(r.Page, func(l leaf) (any, error) { return l.allPictures() })
}

func (l leaf) allPictures() (out []Picture, err error) {
	count, err := l.engine.FPDFPage_CountObjects(&requests.FPDFPage_CountObjects{Page: l.page})
	if err != nil {
		return nil, err
	}
	for i := range min(count.Count, mostObjects) {
		got, err := l.engine.FPDFPage_GetObject(&requests.FPDFPage_GetObject{Page: l.page, Index: i})
		if err != nil {
			return nil, err
		}
		if out, err = l.pictures(out, got.PageObject, l.toFrame, 0); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// pictures adds an object if it is a picture, or those in it if it is a form.
func (l leaf) pictures(out []Picture, object references.FPDF_PAGEOBJECT, m geom.Matrix, level int) ([]Picture, error) {
	kind, err := l.engine.FPDFPageObj_GetType(&requests.FPDFPageObj_GetType{PageObject: object})
	if err != nil || kind.Type != enums.FPDF_PAGEOBJ_IMAGE && kind.Type != enums.FPDF_PAGEOBJ_FORM {
		return out, err
	}
	own, err := l.engine.FPDFPageObj_GetMatrix(&requests.FPDFPageObj_GetMatrix{PageObject: object})
	if err != nil {
		return out, err
	}
	m = matrix(own.Matrix).Then(m)
	if kind.Type == enums.FPDF_PAGEOBJ_IMAGE {
		size, err := l.engine.FPDFImageObj_GetImagePixelSize(&requests.FPDFImageObj_GetImagePixelSize{ImageObject: object})
		if err != nil {
			return out, err
		}
		p := Picture{Box: m.Bounds(geom.Rect{X1: 1, Y1: 1}), Width: int(size.Width), Height: int(size.Height)}
		w, h := math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])
		if w > 0 && h > 0 {
			p.PerMM = min(float64(p.Width)/w, float64(p.Height)/h)
			out = append(out, p)
		}
		return out, nil
	}
	const deepest = 8
	count, err := l.engine.FPDFFormObj_CountObjects(&requests.FPDFFormObj_CountObjects{PageObject: object})
	if err != nil || level == deepest {
		return out, err
	}
	for i := range min(count.Count, mostObjects) {
		got, err := l.engine.FPDFFormObj_GetObject(&requests.FPDFFormObj_GetObject{PageObject: object, Index: uint64(i)})
		if err != nil {
			return out, err
		}
		if out, err = l.pictures(out, got.PageObject, m, level+1); err != nil {
			return out, err
		}
	}
	return out, nil
}

func matrix(m structs.FPDF_FS_MATRIX) geom.Matrix {
	return geom.Matrix{float64(m.A), float64(m.B), float64(m.C), float64(m.D), float64(m.E), float64(m.F)}
}

// TypeSizes counts the letters of a page by the size of their type in mm, to a
// hundredth.
func (d *Document) TypeSizes(ctx context.Context, page int) (count map[float64]int, err error) {
	return askPage[map[float64]int](ctx, d, measureType{page})
}

type measureType struct{ Page int }

func (r measureType) task() task { return task{r.Page, read} }

func (r measureType) answer(e engaged) (any, error) {
	return e.onPage(r.Page, func(l leaf) (any, error) { return l.typeSizes() })
}

func (l leaf) typeSizes() (map[float64]int, error) {
	count := map[float64]int{}
	loaded, err := l.engine.FPDFText_LoadPage(&requests.FPDFText_LoadPage{Page: l.page})
	if err != nil {
		return nil, err
	}
	text := loaded.TextPage
	chars, err := l.engine.FPDFText_CountChars(&requests.FPDFText_CountChars{TextPage: text})
	if err != nil {
		return nil, err
	}
	for i := range chars.Count {
		char, err := l.engine.FPDFText_GetUnicode(&requests.FPDFText_GetUnicode{TextPage: text, Index: i})
		if err != nil {
			return nil, err
		}
		if char.Unicode <= ' ' {
			continue
		}
		size, err := l.engine.FPDFText_GetFontSize(&requests.FPDFText_GetFontSize{TextPage: text, Index: i})
		if err != nil {
			return nil, err
		}
		own, err := l.engine.FPDFText_GetMatrix(&requests.FPDFText_GetMatrix{TextPage: text, Index: i})
		if err != nil {
			return nil, err
		}
		m := matrix(own.Matrix).Then(l.toFrame)
		count[math.Round(size.FontSize*math.Hypot(m[2], m[3])*100)/100]++
	}
	_, err = l.engine.FPDFText_ClosePage(&requests.FPDFText_ClosePage{TextPage: text})
	return count, err
}
