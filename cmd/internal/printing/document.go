package printing

import (
	"context"
	"fmt"
	"image"
	"image/draw"
	"io"
	"os"
	"path/filepath"
	"slices"

	"foldwright/cmd/internal/ipp"
	"foldwright/cmd/internal/ipp/raster"
	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/printer"
	"foldwright/reorder/geom"
)

// document is what is sent for a step, in a format that the printer takes. It must be closed.
func (s *Session) document(ctx context.Context, step Step, format string) (io.ReadCloser, error) {
	path := filepath.Join(s.Folder, step.File)
	if format == ipp.PDF {
		return s.openPDF(ctx, path, step)
	}
	doc, err := s.Renderer.Open(ctx, path, "")
	if err != nil {
		return nil, err
	}
	return pipe(func(out io.Writer) error {
		defer doc.Close()
		return s.writeRaster(ctx, out, doc, step)
	}), nil
}

// pipe is what a function writes, for somebody who reads.
func pipe(write func(io.Writer) error) io.ReadCloser {
	in, out := io.Pipe()
	go func() { out.CloseWithError(write(out)) }()
	return in
}

// openPDF is the print file as it lies in the folder, or a new one of some of its pages.
func (s *Session) openPDF(ctx context.Context, path string, step Step) (io.ReadCloser, error) {
	doc, err := pdf.Open(ctx, path, pdf.Options{})
	if err != nil {
		return nil, err
	}
	if step.isWhole(len(doc.Pages())) {
		if err := doc.Close(); err != nil {
			return nil, err
		}
		return os.Open(path)
	}
	file := pdf.PrintFile{Paper: s.paper.Size, Title: doc.Title()}
	if step.Pass == printer.BothPass {
		file.Duplex = pdf.LongEdge
	}
	for _, page := range step.pages {
		if page > len(doc.Pages()) {
			_ = doc.Close() // was read only
			return nil, fmt.Errorf("%s has %d pages, not %d", path, len(doc.Pages()), page)
		}
		file.Sides = append(file.Sides, pdf.Side{Pages: []pdf.Placed{{Page: page, Matrix: geom.Identity, Clip: s.paper.Size.Rect()}}})
	}
	return pipe(func(out io.Writer) error {
		defer doc.Close()
		return doc.Write(ctx, out, file)
	}), nil
}

// writeRaster draws the pages of a step, one after the other.
func (s *Session) writeRaster(ctx context.Context, out io.Writer, doc *render.Document, step Step) error {
	d := raster.Document{
		Paper: s.paper.Name, Size: s.paper.Size, DPI: s.Says.Resolution(), Pages: len(step.pages),
		Duplex: step.Pass == printer.BothPass, Backs: raster.Back(s.Says.SheetBack),
	}
	pages := raster.NewWriter(out, d)
	for _, page := range step.pages {
		drawn, err := s.drawPage(ctx, doc, page)
		if err != nil {
			return err
		}
		if err := pages.WritePage(fit(drawn, d.Pixels())); err != nil {
			return err
		}
	}
	return nil
}

// colours is the type of raster pages in colour (PWG 5102.4, section 5).
const colours = "srgb_8"

// drawPage draws a page in grey if the printer has no colours, or the page none.
func (s *Session) drawPage(ctx context.Context, doc *render.Document, page int) (draw.Image, error) {
	dpi := float64(s.Says.Resolution())
	if slices.Contains(s.Says.Rasters, colours) {
		if drawn, err := doc.RGBA(ctx, page, dpi); err != nil || isColoured(drawn) {
			return drawn, err
		}
	}
	return doc.Gray(ctx, page, dpi)
}

func isColoured(p *image.RGBA) bool {
	for i := 0; i < len(p.Pix); i += 4 {
		if p.Pix[i] != p.Pix[i+1] || p.Pix[i] != p.Pix[i+2] {
			return true
		}
	}
	return false
}

// fit is a picture of a page with exactly so many pixels: a renderer rounds the size of a
// page otherwise, by one pixel at most.
func fit(page draw.Image, size image.Point) image.Image {
	if page.Bounds().Size() == size {
		return page
	}
	var out draw.Image = image.NewGray(image.Rectangle{Max: size})
	if _, coloured := page.(*image.RGBA); coloured {
		out = image.NewRGBA(out.Bounds())
	}
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(out, out.Bounds(), page, page.Bounds().Min, draw.Src)
	return out
}
