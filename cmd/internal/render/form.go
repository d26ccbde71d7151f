package render

import (
	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"
)

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
