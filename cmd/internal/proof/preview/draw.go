package preview

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

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
	Progress interface{ Step(n int) }
	Undrawn  func(side string) // is told of each side that could not be drawn, and why
}

// picture is one side of a sheet.
type picture struct {
	Sheet  int
	Side   reorder.Side
	Holds  string // what stands on it, in words
	Failed string // why it could not be drawn, then the picture is a grey cross; empty: it was
	PNG    []byte
	Pixels image.Point
}

// failedText is to be said after what stands on the side.
func (p picture) failedText() string {
	if p.Failed == "" {
		return ""
	}
	return " (" + p.Failed + ")"
}

// Sides is the number of pictures.
func Sides(p *proof.Print) int { return 2 * len(p.Sheets) }

// Incomplete says that a preview has been written, but for sides that could not be
// drawn.
func Incomplete(sides []string) error {
	return refusal.Partly.New("%s", proof.Few(sides)).Advise("a grey cross stands for each of them; %s gives a page more time", phrase.Set("page-timeout"))
}

// drawAll draws all sides, side by side on the renderer's workers, and hands
// them to each in their order.
func drawAll(ctx context.Context, p *proof.Print, o Options, each func(picture) error) (err error) {
	files := map[*proof.File]*render.Document{}
	defer func() {
		for _, d := range files {
			if closing := d.Close(); err == nil {
				err = closing
			}
		}
	}()
	for _, f := range p.Files {
		d, err := o.Renderer.Open(ctx, f.Path(), "")
		if err != nil {
			return err
		}
		files[f] = d
	}
	var all []side
	for i, s := range p.Sheets {
		all = append(all, side{i, s, reorder.Front}, side{i, s, reorder.Back})
	}
	const together = 16 // pictures that wait for each other
	for some := range slices.Chunk(all, together) {
		pictures := make([]picture, len(some))
		group, ctx := errgroup.WithContext(ctx)
		group.SetLimit(max(1, o.Renderer.Workers()))
		for i, one := range some {
			group.Go(func() (err error) {
				pictures[i], err = draw(ctx, p, files, one, o.DPI)
				return err
			})
		}
		if err := group.Wait(); err != nil {
			return err
		}
		for _, one := range pictures {
			if err := each(one); err != nil {
				return err
			}
			if one.Failed != "" {
				o.Undrawn(fmt.Sprintf("sheet %d, %s: %s", one.Sheet, one.Side, one.Failed))
			}
			o.Progress.Step(1)
		}
	}
	return nil
}

// side is one of a sheet, and the sheet's place in the stack.
type side struct {
	at    int
	sheet proof.Sheet
	which reorder.Side
}

func draw(ctx context.Context, p *proof.Print, files map[*proof.File]*render.Document, one side, dpi float64) (picture, error) {
	out := picture{Sheet: one.sheet.Number, Side: one.which, Holds: placesOn(p, one.at, one.which)}
	from := one.sheet.Side(one.which)
	var img image.Image
	if from.File == nil {
		img = proof.White(p.Paper(), dpi)
	} else {
		drawn, err := files[from.File].RGBA(ctx, from.Page, dpi)
		var failed *render.Error
		switch {
		case err == nil:
			if from.View[0] < 0 {
				turn(drawn)
			}
			img = reduceToGrey(drawn)
		case ctx.Err() == nil && errors.As(err, &failed):
			img = crossed(proof.Pixels(p.Paper(), dpi))
			out.Failed = fmt.Sprintf("%s: page %d %s", from.File.Name, from.Page, failed.Why())
		default:
			return out, err
		}
	}
	var data bytes.Buffer
	err := png.Encode(&data, img)
	out.PNG, out.Pixels = data.Bytes(), img.Bounds().Size()
	return out, err
}

// placesOn names the places of the book on a side.
func placesOn(p *proof.Print, sheet int, side reorder.Side) string {
	var order []int
	places := map[int][]string{}
	for _, l := range p.Places {
		if l.Sheet == sheet && l.Side == side {
			if places[l.Gathering] == nil {
				order = append(order, l.Gathering)
			}
			places[l.Gathering] = append(places[l.Gathering], fmt.Sprint(l.Number))
		}
	}
	var words []string
	for _, g := range order {
		what := "places"
		if len(places[g]) == 1 {
			what = "place"
		}
		words = append(words, fmt.Sprintf("%s %s of gathering %d", what, strings.Join(places[g], ", "), g))
	}
	if words == nil {
		return "no pages"
	}
	return strings.Join(words, ", ")
}

// mostCrossed is the longest edge of a picture that stands for another, in pixels.
const mostCrossed = 2000

// crossed stands for a side that could not be drawn: grey, with a cross.
func crossed(size image.Point) image.Image {
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

// turn turns a picture by half a turn.
func turn(p *image.RGBA) {
	b := p.Bounds()
	for i, j := 0, b.Dx()*b.Dy()-1; i < j; i, j = i+1, j-1 {
		x, y, u, v := i%b.Dx(), i/b.Dx(), j%b.Dx(), j/b.Dx()
		one, other := p.RGBAAt(x, y), p.RGBAAt(u, v)
		p.SetRGBA(x, y, other)
		p.SetRGBA(u, v, one)
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
