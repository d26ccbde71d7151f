package cover

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"os"

	"foldwright/cmd/internal/pdf"
	"foldwright/reorder/geom"
)

// Picture is a picture or a page of a PDF that a cover shows.
type Picture struct {
	Path   string
	Raster *pdf.Raster   // of pixels; else
	Doc    *pdf.Document // a page of it
	Page   int           // from 1
}

// OpenPicture reads a picture in PNG or JPEG, or the first page of a PDF. Its errors are those of package pdf.
func OpenPicture(ctx context.Context, path string) (*Picture, error) {
	isPDF, err := beginsAsPDF(path)
	if err != nil {
		return nil, err
	}
	if isPDF {
		doc, err := pdf.Open(ctx, path, pdf.Options{})
		return &Picture{Path: path, Doc: doc, Page: 1}, err
	}
	raster, err := pdf.OpenRaster(path)
	return &Picture{Path: path, Raster: raster}, err
}

// beginsAsPDF tells whether a file's first kilobyte has the head of a PDF (ISO 32000-1, annex H.3). What cannot be read
// is left to whoever opens it.
func beginsAsPDF(path string) (is bool, err error) {
	info, err := pdf.Stat(path)
	if err != nil || info.Size() == 0 {
		return false, err
	}
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	head := make([]byte, 1024)
	n, _ := f.Read(head)
	return bytes.Contains(head[:n], []byte("%PDF-")), nil
}

// Close releases the file.
func (p *Picture) Close() error {
	if p == nil || p.Doc == nil {
		return nil
	}
	return p.Doc.Close()
}

// size is the picture's own size, mm or pixels.
func (p *Picture) size() geom.Size {
	if p.Raster != nil {
		return geom.Size{W: float64(p.Raster.Pixels.X), H: float64(p.Raster.Pixels.Y)}
	}
	return p.page().Size
}

func (p *Picture) page() pdf.Page { return p.Doc.Pages()[p.Page-1] }

// hung is a picture where it hangs on a flat: the map from its own size to the flat, and what it fills.
type hung struct {
	*Picture
	matrix geom.Matrix
	area   geom.Rect
}

// fill lets a picture cover an area: the largest of it that has the area's shape, from its middle.
func (p *Picture) fill(area geom.Rect, turned bool) hung {
	m := geom.Identity
	if turned {
		m = geom.Rotate(1)
	}
	lies := m.Bounds(p.size().Rect())
	scale := max(area.Size().W/lies.Size().W, area.Size().H/lies.Size().H)
	m = m.Then(geom.Enlarge(scale))
	from, to := m.Bounds(p.size().Rect()).Centre(), area.Centre()
	return hung{p, m.Then(geom.Translate(to.X-from.X, to.Y-from.Y)), area}
}

// sameSize is how far, in mm, a page may differ from the cover that it was drawn for.
const sameSize = 0.6

// hangWhole lets a picture be the whole cover. A page of the cover's size, or of that with its bleed, stands as it is.
func (p *Picture) hangWhole(f Flat, bleed float64, turned bool) hung {
	area := f.Size.Rect().Inset(-bleed, -bleed, -bleed, -bleed)
	if p.Doc == nil {
		return p.fill(area, turned)
	}
	page := p.page()
	for _, own := range []geom.Rect{page.Trim, page.Visible()} {
		for _, want := range []geom.Size{f.Size, area.Size()} {
			if d := own.Size(); math.Abs(d.W-want.W) < sameSize && math.Abs(d.H-want.H) < sameSize {
				from, to := own.Centre(), area.Centre()
				return hung{p, geom.Translate(to.X-from.X, to.Y-from.Y), area}
			}
		}
	}
	return p.fill(area, turned)
}

// Pixels to an inch below which a printed picture looks coarse, common practice, no source.
const coarse = 150

// notes say what a person should know of how a picture is shown.
func (h hung) notes() []string {
	scale := math.Hypot(h.matrix[0], h.matrix[1])
	if h.Raster != nil {
		if dpi := geom.Inch / scale; dpi < coarse {
			return []string{fmt.Sprintf("%s has only %.0f pixels to the inch at this size and will look coarse; 300 are enough for any printer", h.Path, dpi)}
		}
		return nil
	}
	if math.Abs(scale-1) < 1e-6 {
		return nil
	}
	return []string{fmt.Sprintf("%s is shown at %.0f percent, to fill %s", h.Path, scale*100, h.area.Size())}
}

// place puts the picture on a side, by the map from the flat to the side, and within a window of the side.
func (h hung) place(side *pdf.Side, m geom.Matrix, window geom.Rect) {
	clip := m.Bounds(h.area).Common(window)
	if clip.IsEmpty() {
		return
	}
	own := h.matrix
	if h.Raster != nil {
		size := h.size()
		own = geom.Matrix{size.W, 0, 0, size.H, 0, 0}.Then(own)
		side.Rasters = append(side.Rasters, pdf.PlacedRaster{Raster: h.Raster, Matrix: own.Then(m), Clip: clip})
		return
	}
	side.Pages = append(side.Pages, pdf.Placed{Page: h.Page, Matrix: own.Then(m), Clip: clip, From: h.Doc})
}
