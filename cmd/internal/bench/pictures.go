package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// photograph is a picture of sea and sky with the grain of film, a different
// one for each number. Grain is what makes photographs and scans large.
func photograph(number, width, height, quality int) []byte {
	random := rand.New(rand.NewPCG(uint64(number), 3))
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	horizon := 0.3 + 0.4*random.Float64()
	wave := 3 + 9*random.Float64()
	for y := range height {
		v := float64(y) / float64(height)
		for x := range width {
			u := float64(x) / float64(width)
			light := 210 - 60*v
			if v > horizon {
				light = 90 + 30*math.Sin(u*wave*6+v*v*80)
			}
			grain := float64(random.Uint32()>>26) - 32
			c := uint8(max(0, min(255, light+grain)))
			picture.SetRGBA(x, y, color.RGBA{c, c, uint8(min(255, int(c)+12)), 255})
		}
	}
	var out bytes.Buffer
	if err := jpeg.Encode(&out, picture, &jpeg.Options{Quality: quality}); err != nil {
		return nil // a buffer takes everything, and the size is legal
	}
	return out.Bytes()
}
