package pdf

import (
	"bytes"
	"errors"
	"math/bits"
	"testing"
)

// fourColours is a JPEG of 8 x 8 pixels of one colour, a value for each of cyan, magenta, yellow and black as it is
// stored: baseline, without subsampling (ITU-T T.81, annex B and F). Such a segment as Adobe's programs write (Adobe
// Technical Note 5116) says that nothing is transformed.
func fourColours(adobe bool, stored ...byte) []byte {
	out := []byte{0xFF, 0xD8}
	segment := func(marker byte, body ...byte) {
		out = append(append(out, 0xFF, marker, 0, byte(len(body)+2)), body...)
	}
	if adobe {
		segment(0xEE, append([]byte("Adobe"), 0, 100, 0, 0, 0, 0, 0)...)
	}
	segment(0xDB, append([]byte{0}, bytes.Repeat([]byte{8}, 64)...)...) // so a difference of 1 is one step of the mean
	segment(0xC0, 8, 0, 8, 0, 8, 4, 1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0, 4, 0x11, 0)
	segment(0xC4, 0x00, 0, 0, 0, 9, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 2, 3, 4, 5, 6, 7, 8) // nine codes of four bits
	segment(0xC4, 0x10, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0)                         // 0: no more in this block
	segment(0xDA, 4, 1, 0, 2, 0, 3, 0, 4, 0, 0, 63, 0)
	word, n := uint64(0), 0
	put := func(value uint64, wide int) { word, n = word<<wide|value, n+wide }
	for _, v := range stored {
		d := int(v) - 128
		size := bits.Len(uint(max(d, -d)))
		put(uint64(size), 4)
		if d < 0 {
			d += 1<<size - 1
		}
		put(uint64(d), size)
		put(0, 1)
	}
	for n%8 != 0 {
		put(1, 1)
	}
	for n -= 8; n >= 0; n -= 8 {
		b := byte(word >> n)
		if out = append(out, b); b == 0xFF {
			out = append(out, 0)
		}
	}
	return append(out, 0xFF, 0xD9)
}

// A JPEG in four colours shows the inks that it means, stored inverted as programs for print do.
func TestPicturesInFourColoursAreShown(t *testing.T) {
	for name, c := range map[string]struct {
		inks [4]byte
		want string
	}{
		"nothing": {[4]byte{0, 0, 0, 0}, "white"}, "black": {[4]byte{0, 0, 0, 255}, "black"}, "all": {[4]byte{255, 255, 255, 255}, "black"},
		"cyan": {[4]byte{255, 0, 0, 0}, "grey"}, "half a black": {[4]byte{0, 0, 0, 128}, "grey"},
	} {
		var stored []byte
		for _, ink := range c.inks {
			stored = append(stored, 255-ink)
		}
		shown(t, name, fourColours(true, stored...), []spot{{24, 24, c.want}, {44, 44, c.want}})
	}
	// Without that segment nobody can tell what is stored.
	if _, err := readRaster(fourColours(false, 0, 0, 0, 0)); !errors.Is(err, ErrPicture) {
		t.Errorf("a picture in four unknown colours: %v", err)
	}
}
