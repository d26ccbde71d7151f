package render

import (
	"context"
	"io"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// Save writes a copy of the document as the engine understood it, its damage
// repaired and its encryption removed, for readers that refuse the original.
func (d *Document) Save(ctx context.Context, w io.Writer) error {
	return d.use(ctx, 0, func(e pdfium.Pdfium, doc references.FPDF_DOCUMENT) error {
		_, err := e.FPDF_SaveAsCopy(&requests.FPDF_SaveAsCopy{
			Document: doc, Flags: requests.SaveFlagRemoveSecurity, FileWriter: w,
		})
		return err
	})
}
