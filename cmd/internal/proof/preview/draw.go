package preview

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/proof"
	"foldwright/cmd/internal/render"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Options is how sheets are drawn.
type Options struct {
	Renderer *render.Renderer
	DPI      float64 // of the pictures
	Progress progress.Reporter
	Undrawn  func(side string) // is told of each side that could not be drawn, and why
}

// picture is one side of a sheet.
type picture struct {
	at     int // the sheet's place in the stack
	Sheet  int // its number in the book
	Side   reorder.Side
	Failed string // why it could not be drawn, then the picture is a grey cross; empty: it was
	PNG    []byte
	Pixels image.Point
}

// Sides is the number of pictures.
func Sides(p *proof.Print) int { return 2 * len(p.Sheets) }

// RefuseIncomplete says that a preview has been written, but for sides that could not be
// drawn.
func RefuseIncomplete(sides []string) error {
	return refusal.Partly.New("%s", proof.Few(sides)).Advise("each of them is shown as a grey cross; give a page more time with %s", phrase.Set("page-timeout"))
}

// drawAll draws all sides, side by side on the renderer's workers, and hands
// them to each, sheet after sheet.
func drawAll(ctx context.Context, p *proof.Print, o Options, each func(front, back picture) error) (err error) {
	files := map[*proof.File]*render.Document{}
	defer func() {
		for _, d := range files {
			err = errors.Join(err, d.Close())
		}
	}()
	for _, f := range p.Files {
		d, err := o.Renderer.Open(ctx, f.Path(), "")
		if err != nil {
			return err
		}
		files[f] = d
	}
	const together = 8 // sheets that wait for each other
	for first := 0; first < len(p.Sheets); first += together {
		pictures := make([]picture, 2*min(together, len(p.Sheets)-first))
		group, ctx := errgroup.WithContext(ctx)
		group.SetLimit(max(1, o.Renderer.Workers()))
		for i := range pictures {
			one := &pictures[i]
			one.at, one.Side = first+i/2, []reorder.Side{reorder.Front, reorder.Back}[i%2]
			group.Go(func() error { return one.draw(ctx, p, files, o.DPI) })
		}
		if err := group.Wait(); err != nil {
			return err
		}
		for i := 0; i < len(pictures); i += 2 {
			if err := each(pictures[i], pictures[i+1]); err != nil {
				return err
			}
			for _, one := range pictures[i : i+2] {
				if one.Failed != "" {
					o.Undrawn(fmt.Sprintf("sheet %d, %s: %s", one.Sheet, one.Side, one.Failed))
				}
			}
			o.Progress.Step(2)
		}
	}
	return nil
}

// draw fills in the picture of a side of a sheet.
func (one *picture) draw(ctx context.Context, p *proof.Print, files map[*proof.File]*render.Document, dpi float64) error {
	sheet := p.Sheets[one.at]
	one.Sheet = sheet.Number
	from := sheet.Side(one.Side)
	var img image.Image
	if from.File == nil {
		img = proof.White(p.Paper(), dpi)
	} else {
		drawn, err := files[from.File].RGBA(ctx, from.Page, dpi)
		failed, isPage := errors.AsType[*render.Error](err)
		switch {
		case err == nil:
			if from.View[0] < 0 {
				turn(drawn)
			}
			img = reduceToGrey(drawn)
		case ctx.Err() == nil && isPage:
			img = drawCross(proof.Pixels(p.Paper(), dpi))
			one.Failed = fmt.Sprintf("%s: page %d %s", from.File.Name, from.Page, failed.Why())
		default:
			return err
		}
	}
	var data bytes.Buffer
	err := png.Encode(&data, img)
	one.PNG, one.Pixels = data.Bytes(), img.Bounds().Size()
	return err
}

// mostCrossed is the longest edge of a picture that stands for another, in pixels.
const mostCrossed = 2000

// drawCross stands for a side that could not be drawn: grey, with a cross.
func drawCross(size image.Point) image.Image {
	shrink := max(1, float64(max(size.X, size.Y))/mostCrossed)
	w, h := max(1, int(float64(size.X)/shrink)), max(1, int(float64(size.Y)/shrink))
	g := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := color.Gray{Y: 0xd0}
			if at := x * h; abs(at-y*w) < 2*h || abs(at-(h-1-y)*w) < 2*h {
				v.Y = 0x80
			}
			g.SetGray(x, y, v)
		}
	}
	return g
}

func abs(n int) int { return max(n, -n) }

// turn turns a picture by half a turn: its pixels, of four bytes each, in reverse order.
func turn(p *image.RGBA) {
	for i, j := 0, len(p.Pix)-4; i < j; i, j = i+4, j-4 {
		for k := range 4 {
			p.Pix[i+k], p.Pix[j+k] = p.Pix[j+k], p.Pix[i+k]
		}
	}
}

// reduceToGrey is the picture in greys if it has no colours.
func reduceToGrey(p *image.RGBA) image.Image {
	b := p.Bounds()
	g := image.NewGray(b)
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			c := p.RGBAAt(x, y)
			if c.R != c.G || c.G != c.B {
				return p
			}
			g.SetGray(x, y, color.Gray{Y: c.R})
		}
	}
	return g
}
