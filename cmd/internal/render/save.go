package render

import (
	"context"
	"errors"
	"io"

	"github.com/klippa-app/go-pdfium/requests"
)

// Save writes a copy of the document as the engine understood it, its damage
// repaired and its encryption removed, for readers that refuse the original.
// An error of w is returned as it is.
func (d *Document) Save(ctx context.Context, w io.Writer) error {
	to := &steady{to: w}
	// It can be written only once, so there is no trying with less memory.
	_, err := d.ask(ctx, wish{request{Want: saveCopy}, d.renderer.options.WorkerMemory, to})
	if to.err != nil && ctx.Err() == nil {
		return to.err
	}
	return err
}

func (e engaged) save() error {
	to := &steady{to: e.copy}
	_, err := e.engine.FPDF_SaveAsCopy(&requests.FPDF_SaveAsCopy{
		Document: e.document, Flags: requests.SaveFlagRemoveSecurity, FileWriter: to,
	})
	if to.err != nil {
		return errNotWritten
	}
	return err
}

// errNotWritten says that the engine is sound and the writer is to blame.
var errNotWritten = errors.New("can't be written")

// steady keeps the first error of a writer, which the engine forgets, and
// writes nothing after it.
type steady struct {
	to  io.Writer
	err error
}

func (s *steady) Write(p []byte) (n int, err error) {
	if s.err == nil {
		n, s.err = s.to.Write(p)
	}
	return n, s.err
}
