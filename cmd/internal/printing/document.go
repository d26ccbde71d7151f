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
	"foldwright/reorder"
	"foldwright/reorder/geom"
)

// writer writes what is sent of a step.
type writer struct {
	folder   string
	paper    reorder.Paper
	says     ipp.Description
	renderer *render.Renderer // for printers that take no PDF
}

// document is what is sent for a step, in the format that the printer takes. It must be closed.
func (w writer) document(ctx context.Context, s Step) (io.ReadCloser, error) {
	format, err := w.says.Format()
	if err != nil {
		return nil, err
	}
	path := filepath.Join(w.folder, s.File)
	if format == ipp.PDF {
		return w.openPDF(ctx, path, s)
	}
	doc, err := w.renderer.Open(ctx, path, "")
	if err != nil {
		return nil, err
	}
	return pipe(func(out io.Writer) error {
		defer doc.Close()
		return w.writeRaster(ctx, out, doc, s)
	}), nil
}

// pipe is what a function writes, for somebody who reads.
func pipe(write func(io.Writer) error) io.ReadCloser {
	in, out := io.Pipe()
	go func() { out.CloseWithError(write(out)) }()
	return in
}

// openPDF is the print file as it lies in the folder, or a new one of some of its pages.
func (w writer) openPDF(ctx context.Context, path string, s Step) (io.ReadCloser, error) {
	doc, err := pdf.Open(ctx, path, pdf.Options{})
	if err != nil {
		return nil, err
	}
	if s.isWhole(len(doc.Pages())) {
		if err := doc.Close(); err != nil {
			return nil, err
		}
		return os.Open(path)
	}
	file := pdf.PrintFile{Paper: w.paper.Size, Title: doc.Title()}
	if s.Pass == printer.BothPass {
		file.Duplex = pdf.LongEdge
	}
	for _, page := range s.pages {
		if page > len(doc.Pages()) {
			_ = doc.Close() // was read only
			return nil, fmt.Errorf("%s has %d pages, not %d", path, len(doc.Pages()), page)
		}
		file.Sides = append(file.Sides, pdf.Side{Pages: []pdf.Placed{{Page: page, Matrix: geom.Identity, Clip: w.paper.Size.Rect()}}})
	}
	return pipe(func(out io.Writer) error {
		defer doc.Close()
		return doc.Write(ctx, out, file)
	}), nil
}

// writeRaster draws the pages of a step, one after the other.
func (w writer) writeRaster(ctx context.Context, out io.Writer, doc *render.Document, s Step) error {
	d := raster.Document{
		Paper: w.paper.Name, Size: w.paper.Size, DPI: w.says.Resolution(), Pages: len(s.pages),
		Duplex: s.Pass == printer.BothPass, Backs: raster.Back(w.says.SheetBack),
	}
	pages := raster.NewWriter(out, d)
	for _, page := range s.pages {
		drawn, err := w.drawPage(ctx, doc, page)
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
func (w writer) drawPage(ctx context.Context, doc *render.Document, page int) (draw.Image, error) {
	dpi := float64(w.says.Resolution())
	if slices.Contains(w.says.Rasters, colours) {
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
