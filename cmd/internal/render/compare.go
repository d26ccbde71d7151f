package render

import (
	"image"
	"image/draw"
)

// blockEdge is the edge, in pixels, of the blocks that Compare looks at one by one.
const blockEdge = 8

// Difference says how much two pictures differ, in percent of the step from black to white.
type Difference struct {
	Mean  float64         // over the whole picture
	Worst float64         // over the block that differs most
	Block image.Rectangle // that block; empty if there is no difference
}

// Compare compares two pictures of the same thing that need not lie on the
// same pixels.
//
// A pixel differs by as much as its value lies outside the range that the nine
// pixels around its place span in the other picture, both ways round, the
// larger counts. So an edge that is smoothed differently or lies up to a
// pixel elsewhere makes no difference, but a mark that the other picture lacks
// makes its full one. The outermost pixels are left out, for what a shift of a
// pixel brings into the picture has no counterpart.
//
// The mean tells whether two pages are the same page at all; the worst block
// finds a single mark that is missing, which the mean of a whole page drowns. The pictures are laid
// on each other by their upper left corners, and what one lacks of the other's
// size counts as white.
func Compare(a, b *image.Gray) Difference {
	w := max(a.Bounds().Dx(), b.Bounds().Dx())
	h := max(a.Bounds().Dy(), b.Bounds().Dy())
	pa, pb := layOnWhite(a, w, h), layOnWhite(b, w, h)
	var out Difference
	var sum int
	for y := 0; y < h; y += blockEdge {
		for x := 0; x < w; x += blockEdge {
			block := image.Rect(x, y, min(x+blockEdge, w), min(y+blockEdge, h))
			part := 0
			inner := block.Intersect(image.Rect(1, 1, w-1, h-1))
			for py := inner.Min.Y; py < inner.Max.Y; py++ {
				for px := inner.Min.X; px < inner.Max.X; px++ {
					i := py*w + px
					if pa.v[i] != pb.v[i] { // else each lies in the other's range
						part += max(pb.outside(i, pa.v[i]), pa.outside(i, pb.v[i]))
					}
				}
			}
			sum += part
			if share := percent(part, block.Dx()*block.Dy()); share > out.Worst {
				out.Worst, out.Block = share, block
			}
		}
	}
	out.Mean = percent(sum, w*h)
	return out
}

func percent(sum, pixels int) float64 {
	if pixels == 0 {
		return 0
	}
	return float64(sum) / float64(pixels) / 255 * 100
}

// layOnWhite is the picture on a white ground of the given size, without gaps between its rows.
func layOnWhite(g *image.Gray, w, h int) plane {
	if size := g.Bounds().Size(); size != image.Pt(w, h) || g.Stride != w {
		ground := White(image.Pt(w, h))
		draw.Draw(ground, ground.Rect.Intersect(image.Rectangle{Max: size}), g, g.Rect.Min, draw.Src)
		g = ground
	}
	return plane{w, g.Pix[g.PixOffset(g.Rect.Min.X, g.Rect.Min.Y):]}
}

// plane is the pixels of a picture, row by row.
type plane struct {
	w int
	v []uint8
}

// outside is how far v lies from the range that the pixel at i and its eight
// neighbours span; i is none of the outermost pixels.
func (p plane) outside(i int, v uint8) int {
	low, high := uint8(0xff), uint8(0)
	for _, row := range [3]int{i - p.w, i, i + p.w} {
		three := p.v[row-1 : row+2]
		low = min(low, three[0], three[1], three[2])
		high = max(high, three[0], three[1], three[2])
	}
	switch {
	case v < low:
		return int(low - v)
	case v > high:
		return int(v - high)
	}
	return 0
}
