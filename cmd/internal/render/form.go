package render

import (
	"errors"
	"sync"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/structs"
)

// forms is held while an engine fills in a form: the engine's library tells
// the forms of all engines apart by an address that they may have in common.
var forms sync.Mutex

// drawForm draws the fields of the document's form that lie on the page,
// which are not drawn with the rest of it, as the page lies there.
func (l leaf) drawForm(bitmap references.FPDF_BITMAP, at spot) (err error) {
	kind, err := l.engine.FPDF_GetFormType(&requests.FPDF_GetFormType{Document: l.document})
	if err != nil || kind.FormType == enums.FPDF_FORMTYPE_NONE {
		return err
	}
	restore, err := l.showAsPrinted()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, restore()) }()
	forms.Lock()
	defer forms.Unlock()
	form, err := l.engine.FPDFDOC_InitFormFillEnvironment(&requests.FPDFDOC_InitFormFillEnvironment{
		Document: l.document, FormFillInfo: nobody,
	})
	if err != nil {
		return err
	}
	if _, err := l.engine.FPDF_FFLDraw(&requests.FPDF_FFLDraw{
		FormHandle: form.FormHandle, Bitmap: bitmap, Page: l.page, Flags: asPrinted,
		StartX: at.start.X, StartY: at.start.Y, SizeX: at.size.X, SizeY: at.size.Y, Rotate: at.turned,
	}); err != nil {
		return err
	}
	_, err = l.engine.FPDFDOC_ExitFormFillEnvironment(&requests.FPDFDOC_ExitFormFillEnvironment{FormHandle: form.FormHandle})
	return err
}

// showAsPrinted gives the fields on the page the flags with which they are
// seen exactly if they are printed (ISO 32000-1, table 165), since the engine draws a
// form as on a screen even for print. The function returned puts the flags back.
func (l leaf) showAsPrinted() (restore func() error, err error) {
	var undo []requests.FPDFAnnot_SetFlags
	restore = func() error {
		for _, u := range undo {
			if _, err := l.engine.FPDFAnnot_SetFlags(&u); err != nil {
				return err
			}
			if _, err := l.engine.FPDFPage_CloseAnnot(&requests.FPDFPage_CloseAnnot{Annotation: u.Annotation}); err != nil {
				return err
			}
		}
		return nil
	}
	count, err := l.engine.FPDFPage_GetAnnotCount(&requests.FPDFPage_GetAnnotCount{Page: l.page})
	if err != nil {
		return restore, err
	}
	for i := range count.Count {
		got, err := l.engine.FPDFPage_GetAnnot(&requests.FPDFPage_GetAnnot{Page: l.page, Index: i})
		if err != nil {
			continue // something else than a dictionary
		}
		annot := got.Annotation
		kind, err := l.engine.FPDFAnnot_GetSubtype(&requests.FPDFAnnot_GetSubtype{Annotation: annot})
		if err != nil {
			return restore, err
		}
		if kind.Subtype != enums.FPDF_ANNOT_SUBTYPE_WIDGET {
			if _, err := l.engine.FPDFPage_CloseAnnot(&requests.FPDFPage_CloseAnnot{Annotation: annot}); err != nil {
				return restore, err
			}
			continue
		}
		had, err := l.engine.FPDFAnnot_GetFlags(&requests.FPDFAnnot_GetFlags{Annotation: annot})
		if err != nil {
			return restore, err
		}
		undo = append(undo, requests.FPDFAnnot_SetFlags{Annotation: annot, Flags: had.Flags})
		flags := had.Flags &^ enums.FPDF_ANNOT_FLAG_NOVIEW
		if flags&enums.FPDF_ANNOT_FLAG_PRINT == 0 {
			flags |= enums.FPDF_ANNOT_FLAG_HIDDEN
		}
		if _, err := l.engine.FPDFAnnot_SetFlags(&requests.FPDFAnnot_SetFlags{Annotation: annot, Flags: flags}); err != nil {
			return restore, err
		}
	}
	return restore, nil
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
