package look

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"image"
	"image/color"
	"image/draw"
	"math"
	"net/url"

	"foldwright/reorder/geom"
)

// picture is all that a picture depends on but its width. Its frame is what is seen, in mm,
// origin at the lower left, y up.
type picture struct {
	Source string    // the digest of the PDF
	Size   geom.Size // mm
	Parts  []part
}

// part is a page of the source on a picture.
type part struct {
	Page   int
	Size   geom.Size   // of the page's visible box, mm
	Matrix geom.Matrix // from the page's visible box to the picture, in mm; it turns by quarters only
	Clip   geom.Rect   // of the picture; nothing of the page leaves it
}

// digest tells pictures apart.
func (p picture) digest() string {
	h := sha256.New()
	fmt.Fprintf(h, "%s %.3f", p.Source, p.Size)
	for _, part := range p.Parts {
		fmt.Fprintf(h, " %d %.5f %.3f", part.Page, part.Matrix, part.Clip)
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// mapBy is the picture after a map of quarter turns and moves into a frame of another size.
func (p picture) mapBy(m geom.Matrix, size geom.Size) picture {
	out := picture{p.Source, size, make([]part, len(p.Parts))}
	for i, part := range p.Parts {
		part.Matrix = part.Matrix.Then(m)
		part.Clip = m.Bounds(part.Clip).Common(size.Rect())
		out.Parts[i] = part
	}
	return out
}

// pixels is its size if it is so wide.
func (p picture) pixels(width int) image.Point {
	return image.Pt(width, max(1, int(math.Round(float64(width)*p.Size.H/p.Size.W))))
}

// scale is how large a part stands on the picture: mm of it for each of the page.
func (p part) scale() float64 { return p.Matrix.Direction(geom.Point{X: 1}).Length() }

// blank is a picture on which nothing stands yet.
func blank(size image.Point, coloured bool) draw.Image {
	var out draw.Image = image.NewGray(image.Rectangle{Max: size})
	if coloured {
		out = image.NewRGBA(image.Rectangle{Max: size})
	}
	draw.Draw(out, out.Bounds(), image.White, image.Point{}, draw.Src)
	return out
}

// put puts a page that was drawn where it stands on the picture. What other pages have drawn stays under
// its white.
func (p picture) put(out draw.Image, one part, drawn image.Image) {
	size, from := out.Bounds().Size(), drawn.Bounds().Size()
	toPixels := geom.Matrix{float64(size.X) / p.Size.W, 0, 0, -float64(size.Y) / p.Size.H, 0, float64(size.Y)}
	toDrawn := geom.Matrix{float64(from.X) / one.Size.W, 0, 0, -float64(from.Y) / one.Size.H, 0, float64(from.Y)}
	back := inverse(one.Matrix.Then(toPixels)).Then(toDrawn) // from pixels of the picture to those of the page
	clip := toPixels.Bounds(one.Clip.Common(one.Matrix.Bounds(one.Size.Rect())))
	area := image.Rect(round(clip.X0), round(clip.Y0), round(clip.X1), round(clip.Y1)).Intersect(out.Bounds())
	if area.Empty() {
		return
	}
	// Pages are turned by quarters only: each column of the picture lies along one axis of the page.
	turned := math.Abs(back[0]) < math.Abs(back[1])
	columns, rows := taps(area.Min.X, area.Max.X, back[0], back[4], from.X), taps(area.Min.Y, area.Max.Y, back[3], back[5], from.Y)
	if turned {
		columns, rows = taps(area.Min.X, area.Max.X, back[1], back[5], from.Y), taps(area.Min.Y, area.Max.Y, back[2], back[4], from.X)
	}
	pix, stride, channels := pixelsOf(drawn)
	outPix, outStride, outChannels := pixelsOf(out)
	across, along := channels, stride
	if turned {
		across, along = stride, channels
	}
	for i, row := range rows {
		line := outPix[(area.Min.Y+i)*outStride+area.Min.X*outChannels:]
		for j, column := range columns {
			var sum [3]float64
			for k, weight := range row.weights {
				at := (row.first+k)*along + column.first*across
				for _, w := range column.weights {
					w *= weight
					sum[0] += w * float64(pix[at])
					if channels > 1 {
						sum[1] += w * float64(pix[at+1])
						sum[2] += w * float64(pix[at+2])
					}
					at += across
				}
			}
			if channels == 1 {
				sum[1], sum[2] = sum[0], sum[0]
			}
			for c := range min(3, outChannels) {
				to := &line[j*outChannels+c]
				*to = min(*to, uint8(sum[c]+0.5))
			}
		}
	}
}

// inverse is the way back through any map that has one.
func inverse(m geom.Matrix) geom.Matrix {
	det := m[0]*m[3] - m[1]*m[2]
	return geom.Translate(-m[4], -m[5]).Then(geom.Matrix{m[3] / det, -m[1] / det, -m[2] / det, m[0] / det, 0, 0})
}

func round(v float64) int { return int(math.Round(v)) }

// pixelsOf is the bytes of a picture, how many there are in a row, and for a pixel.
func pixelsOf(i image.Image) (pix []uint8, stride, channels int) {
	switch i := i.(type) {
	case *image.Gray:
		return i.Pix, i.Stride, 1
	case *image.RGBA:
		return i.Pix, i.Stride, 4
	}
	panic("look: a picture that nobody made here")
}

// tap is the pixels of a drawn page that one column, or row, of the picture covers, and their shares.
type tap struct {
	first   int
	weights []float64
}

// taps covers the columns from low to below high; a column x begins at x*step + start of the page's most pixels.
func taps(low, high int, step, start float64, most int) []tap {
	out := make([]tap, high-low)
	for i := range out {
		a, b := float64(low+i)*step+start, float64(low+i+1)*step+start
		a, b = min(a, b), max(a, b)
		if b-a < 1 { // between two pixels: both count
			middle := (a + b) / 2
			a, b = middle-0.5, middle+0.5
		}
		first := min(max(int(math.Floor(a)), 0), most-1)
		last := min(max(int(math.Ceil(b))-1, first), most-1)
		t := tap{first: first}
		sum := 0.0
		for p := first; p <= last; p++ {
			share := max(1e-9, min(b, float64(p+1))-max(a, float64(p)))
			t.weights = append(t.weights, share)
			sum += share
		}
		for k := range t.weights {
			t.weights[k] /= sum
		}
		out[i] = t
	}
	return out
}

// cross stands for a page that could not be drawn, whatever its size.
func cross() image.Image {
	const edge = 200
	g := image.NewGray(image.Rect(0, 0, edge, edge))
	for i := range g.Pix {
		g.Pix[i] = 0xd0
	}
	for i := range edge {
		g.SetGray(i, i, color.Gray{Y: 0x80})
		g.SetGray(i, edge-1-i, color.Gray{Y: 0x80})
	}
	return g
}

// withoutColour is the picture in shades of grey if it has no colours.
func withoutColour(p *image.RGBA) image.Image {
	g := image.NewGray(p.Rect)
	for i := range g.Pix {
		c := p.Pix[4*i : 4*i+3]
		if c[0] != c[1] || c[1] != c[2] {
			return p
		}
		g.Pix[i] = c[0]
	}
	return g
}

// address is where a picture can be had in a width, below the address of its book.
func (p picture) address(book, name string, width int) template.URL {
	return template.URL(fmt.Sprintf("/books/%s/look/%s.png?width=%d&v=%s", url.PathEscape(book), name, width, p.digest()))
}

// shown is a picture as it stands on a page: in so many pixels of the screen, and in twice as many for fine ones.
type shown struct {
	Source, Fine  template.URL
	Width, Height int
}

func (p picture) show(book, name string, width int) shown {
	size := p.pixels(width)
	return shown{p.address(book, name, width), p.address(book, name, 2*width), size.X, size.Y}
}
