package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// Pictures are 300 dots to the inch at 96 by 126 mm or thereabouts, grey, with the grain of an old plate.
const (
	pictureWide = 900
	pictureHigh = 1180
)

// picture renders a tone, 0 black to 1 white, at every dot and adds grain and darker corners. No two
// pictures may be equally wide: fpdf writes those of one width in the order of chance.
func picture(seed uint64, wide int, tone func(x, y float64, n *noise) float64) ([]byte, error) {
	n := newNoise(seed)
	grain := rand.New(rand.NewPCG(seed, 0x9a1))
	img := image.NewGray(image.Rect(0, 0, wide, pictureHigh))
	last := 0.0
	for j := range pictureHigh {
		for i := range wide {
			x, y := float64(i)/float64(wide), float64(j)/pictureHigh
			v := tone(x, y, n)
			dx, dy := x-0.5, y-0.5
			v *= 1 - 0.55*math.Pow(dx*dx+dy*dy, 1.3)
			last = 0.45*last + grain.NormFloat64()*0.016
			v += last * (0.5 + v)
			img.SetGray(i, j, color.Gray{Y: uint8(255 * min(max(v, 0), 1))})
		}
	}
	var out bytes.Buffer
	err := jpeg.Encode(&out, img, &jpeg.Options{Quality: 58})
	return out.Bytes(), err
}

// noise is smooth chance on a lattice.
type noise struct{ lattice [256][256]float64 }

func newNoise(seed uint64) *noise {
	rng := rand.New(rand.NewPCG(seed, 0x401))
	n := &noise{}
	for i := range n.lattice {
		for j := range n.lattice[i] {
			n.lattice[i][j] = rng.Float64()
		}
	}
	return n
}

// at gives a value from 0 to 1 at a place, smooth from one whole number to the next.
func (n *noise) at(x, y float64) float64 {
	ix, iy := math.Floor(x), math.Floor(y)
	fx, fy := ease(x-ix), ease(y-iy)
	i, j := int(ix)&255, int(iy)&255
	top := n.lattice[i][j] + fx*(n.lattice[(i+1)&255][j]-n.lattice[i][j])
	bottom := n.lattice[i][(j+1)&255] + fx*(n.lattice[(i+1)&255][(j+1)&255]-n.lattice[i][(j+1)&255])
	return top + fy*(bottom-top)
}

// cloud adds four scales of noise, each half as strong as the one before.
func (n *noise) cloud(x, y float64) float64 {
	sum, part := 0.0, 0.5
	for range 4 {
		sum += part * n.at(x, y)
		x, y, part = x*2.03+17, y*2.03+5, part/2
	}
	return sum / 0.9375
}

func ease(t float64) float64 { return t * t * (3 - 2*t) }

// step goes from 0 at a to 1 at b.
func step(a, b, t float64) float64 { return ease(min(max((t-a)/(b-a), 0), 1)) }

func mix(a, b, t float64) float64 { return a + (b-a)*t }

// tower reports how much of a dot the lighthouse covers, and how far right on its body the dot lies
// (-1 to 1), for a tower with its foot at (x, foot) and the given height, in a picture's own measure.
func tower(px, py, x, foot, height, softness float64) (cover, across float64) {
	const aspect = float64(pictureWide) / pictureHigh
	up := (foot - py) / height
	dx := (px - x) * aspect / height
	if up < -0.02 || up > 1.1 {
		return 0, 0
	}
	half := 0.0
	switch {
	case up < 0.76:
		t := up / 0.76
		half = mix(0.105, 0.066, math.Pow(t, 0.6))
	case up < 0.785:
		half = 0.092
	case up < 0.9:
		half = 0.052
	case up < 1:
		half = mix(0.062, 0.006, (up-0.9)/0.1)
	default:
		half = 0.004 * step(1.06, 1.0, up)
	}
	if half == 0 {
		return 0, 0
	}
	return 1 - step(half-softness, half+softness, math.Abs(dx)), dx / half
}

// mistPicture is the tower on a still day, half drowned in mist: light sea, a soft horizon, a rock.
func mistPicture() ([]byte, error) {
	return picture(11, pictureWide, func(x, y float64, n *noise) float64 {
		const horizon = 0.66
		sky := mix(0.60, 0.86, step(0, horizon, y)) + 0.10*(n.cloud(x*3, y*5)-0.5)
		sun := math.Hypot((x-0.78)*0.76, y-0.30)
		sky += 0.16 * math.Exp(-sun*sun*18)
		v := sky
		if y > horizon {
			depth := (y - horizon) / (1 - horizon)
			ripple := n.cloud(x*9/(0.25+depth), 40+math.Pow(depth, 0.55)*70)
			v = mix(0.80, 0.40, math.Pow(depth, 0.8)) + (ripple-0.5)*0.42*(0.25+depth)
			glitter := math.Exp(-math.Pow((x-0.74)/(0.05+0.25*depth), 2))
			v += 0.25 * glitter * step(0.5, 0.75, ripple)
		}
		crest := 0.655 - 0.055*math.Exp(-math.Pow((x-0.42)/0.16, 2)) + 0.03*(n.cloud(x*14, 3)-0.5)
		if rock := step(crest, crest+0.004, y) * (1 - step(0.665, 0.70+0.03*n.at(x*30, 9), y)); rock > 0 && x > 0.1 && x < 0.78 {
			edge := step(0.1, 0.2, x) * (1 - step(0.62, 0.78, x))
			v = mix(v, 0.20+0.22*n.cloud(x*22, y*40), rock*edge)
		}
		if cover, across := tower(x, y, 0.42, 0.615, 0.46, 0.004); cover > 0 {
			body := mix(0.93, 0.40, step(-0.9, 1, across))
			up := (0.615 - y) / 0.46
			if up > 0.34 && up < 0.48 {
				body *= 0.45
			}
			if up > 0.785 && up < 0.9 {
				body = mix(0.75, 0.25, step(0.1, 0.5, math.Abs(math.Mod(math.Abs(across)*2.5, 1)-0.5)))
			}
			if up >= 0.9 || (up > 0.76 && up <= 0.785) {
				body = 0.22
			}
			v = mix(v, body+0.05*(n.cloud(x*60, y*60)-0.5), cover)
		}
		bank := step(0.40, 0.62, y) * (1 - step(0.66, 0.80, y))
		mist := bank * step(0.34, 0.72, n.cloud(x*2.4+7, y*9))
		v = mix(v, 0.88, 0.82*mist)
		return mix(v, 0.82, 0.12)
	})
}

// beamPicture is the night: the lamp, two beams with drizzle in them, and its path on the water.
func beamPicture() ([]byte, error) {
	return picture(23, pictureWide+1, func(x, y float64, n *noise) float64 {
		const horizon = 0.72
		const lampX, lampY = 0.36, 0.375
		v := 0.10 + 0.05*step(0, horizon, y) + 0.06*(n.cloud(x*3, y*4)-0.4)
		dx, dy := (x-lampX)*0.76, y-lampY
		far := math.Hypot(dx, dy)
		drizzle := 0.75 + 0.5*n.cloud(x*8+y*3, y*14)
		for _, beam := range []struct{ slope, side, width, power float64 }{{-0.16, 1, 0.16, 0.62}, {0.10, -1, 0.13, 0.42}} {
			along := dx * beam.side
			if along <= 0 {
				continue
			}
			off := (dy - beam.slope*along) / (0.006 + beam.width*along)
			v += beam.power * drizzle * math.Exp(-off*off) / (0.9 + 3.2*along)
		}
		if y > horizon {
			depth := (y - horizon) / (1 - horizon)
			swell := n.cloud(x*7/(0.3+depth), 20+math.Pow(depth, 0.6)*46)
			v = 0.07 + 0.10*swell*(1-0.4*depth)
			path := math.Exp(-math.Pow((x-lampX-0.02*math.Sin(depth*20))/(0.03+0.16*depth), 2))
			v += 0.75 * path * step(0.42, 0.75, swell) * (1 - 0.5*depth)
			foam := step(0.66, 0.80, n.cloud(x*6/(0.3+depth)+9, 8+depth*18))
			v += 0.22 * foam * depth
		}
		crest := 0.715 - 0.07*math.Exp(-math.Pow((x-lampX)/0.17, 2)) + 0.04*(n.cloud(x*13, 3)-0.5)
		if rock := step(crest, crest+0.004, y) * (1 - step(0.73, 0.76+0.04*n.at(x*24, 2), y)); rock > 0 {
			v = mix(v, 0.03+0.05*n.cloud(x*30, y*30), rock*(1-step(0.60, 0.80, x)))
		}
		if cover, across := tower(x, y, lampX, 0.665, 0.34, 0.005); cover > 0 {
			v = mix(v, mix(0.20, 0.05, step(-1, 0.8, across)), cover)
		}
		return v + 0.95*math.Exp(-far*far*2600) + 0.30*math.Exp(-far*14)
	})
}
