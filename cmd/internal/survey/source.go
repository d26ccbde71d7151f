package survey

import (
	"context"
	"path/filepath"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
)

// Source is a PDF of which a book is made.
type Source struct {
	*pdf.Document
	Name     string // of the file, without its folder
	Password string
	engine   *Engine
}

// Open reads the structure of a source; nothing of it is drawn. The
// errors are those of [pdf.Open]. The caller closes it.
func Open(ctx context.Context, path, password string, engine *Engine) (*Source, error) {
	doc, err := pdf.Open(ctx, path, pdf.Options{Password: password, Rescue: engine.Rescue, Sum: true})
	if err != nil {
		return nil, err
	}
	return &Source{doc, filepath.Base(path), password, engine}, nil
}

// Render opens the source once more to be drawn, see [OpenDrawing]. The caller closes what is returned.
func (s *Source) Render(ctx context.Context) (*render.Document, error) {
	r, err := s.engine.Renderer(ctx)
	if err != nil {
		return nil, err
	}
	return OpenDrawing(ctx, r, s.Document, s.Password)
}
