package output

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"io"
	"math"
	"os/exec"

	"foldwright/cmd/internal/pdf"
	"foldwright/cmd/internal/render"
	"foldwright/reorder/geom"
)

// drawer draws a page of a file in shades of grey.
type drawer func(ctx context.Context, page int, dpi float64) (likeness, error)

// likeness is a page with so many pixels to a millimetre, from its upper left
// corner; 0: the whole page fills the picture.
type likeness struct {
	*image.Gray
	x, y float64
}

func (d likeness) fitted(size geom.Size) likeness {
	if d.x == 0 {
		d.x, d.y = float64(d.Bounds().Dx())/size.W, float64(d.Bounds().Dy())/size.H
	}
	return d
}

// byPDFium opens a file with the renderer of this repository.
func byPDFium(ctx context.Context, r *render.Renderer) func(string) (drawer, func(), error) {
	return func(path string) (drawer, func(), error) {
		doc, err := r.Open(ctx, path, "")
		if err != nil {
			return nil, nil, err
		}
		return func(ctx context.Context, page int, dpi float64) (likeness, error) {
			picture, err := doc.Gray(ctx, page, dpi)
			return likeness{Gray: picture}, err
		}, func() { doc.Close() }, nil
	}
}

// byPoppler opens a file with pdftoppm. It draws for the screen, so annotations are left out.
func byPoppler(path string) (drawer, func(), error) {
	return func(ctx context.Context, page int, dpi float64) (likeness, error) {
		n := fmt.Sprint(page)
		out, err := exec.CommandContext(ctx, "pdftoppm", "-gray", "-cropbox", "-hide-annotations", "-r", fmt.Sprint(dpi), "-f", n, "-l", n, path).Output()
		if err != nil {
			return likeness{}, err
		}
		picture, err := portableGray(out)
		return likeness{picture, dpi / 25.4, dpi / 25.4}, err
	}, func() {}, nil
}

// portableGray reads a PGM picture as pdftoppm writes it.
func portableGray(data []byte) (*image.Gray, error) {
	var w, h, most int
	in := bytes.NewReader(data)
	if _, err := fmt.Fscanf(in, "P5\n%d %d\n%d\n", &w, &h, &most); err != nil || most != 255 {
		return nil, fmt.Errorf("no PGM picture: %w", err)
	}
	picture := image.NewGray(image.Rect(0, 0, w, h))
	_, err := io.ReadFull(in, picture.Pix)
	return picture, err
}

// undone looks each pixel of a source page up on the side it was placed on.
func undone(side likeness, paper geom.Size, p pdf.Placed, page geom.Size, like likeness) *image.Gray {
	out := image.NewGray(like.Bounds())
	for y := range like.Bounds().Dy() {
		for x := range like.Bounds().Dx() {
			at := p.Matrix.Apply(geom.Point{X: (float64(x) + 0.5) / like.x, Y: page.H - (float64(y)+0.5)/like.y})
			i, j := int(math.Floor(at.X*side.x)), int(math.Floor((paper.H-at.Y)*side.y))
			v := uint8(255)
			if (image.Point{X: i, Y: j}).In(side.Bounds()) {
				v = side.Pix[side.PixOffset(i, j)]
			}
			out.Pix[out.PixOffset(x, y)] = v
		}
	}
	return out
}

// averaged makes a picture n times smaller.
func averaged(picture *image.Gray, n int) *image.Gray {
	if n == 1 {
		return picture
	}
	w, h := picture.Bounds().Dx()/n, picture.Bounds().Dy()/n
	out := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			sum := 0
			for j := range n {
				for i := range n {
					sum += int(picture.Pix[picture.PixOffset(x*n+i, y*n+j)])
				}
			}
			out.Pix[out.PixOffset(x, y)] = uint8(sum / (n * n))
		}
	}
	return out
}
