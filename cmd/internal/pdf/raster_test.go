package pdf

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"foldwright/reorder/geom"
)

// flag is a picture of 40 x 20 pixels: black at its upper left quarter, grey at its lower right one.
func flag(upperLeft, lowerRight color.Color) image.Image {
	p := image.NewNRGBA(image.Rect(0, 0, 40, 20))
	for y := range 20 {
		for x := range 40 {
			p.Set(x, y, color.White)
			switch {
			case x < 20 && y < 10:
				p.Set(x, y, upperLeft)
			case x >= 20 && y >= 10:
				p.Set(x, y, lowerRight)
			}
		}
	}
	return p
}

func asPNG(t *testing.T, p image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// asJPEG is a picture as a camera writes it, with an Exif segment that says how it was held; 0: none.
func asJPEG(t *testing.T, p image.Image, held int, order binary.AppendByteOrder) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	if held == 0 {
		return b.Bytes()
	}
	tiff := []byte("II")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM")
	}
	tiff = order.AppendUint32(order.AppendUint16(tiff, 42), 8)
	tiff = order.AppendUint16(tiff, 1)
	tiff = order.AppendUint32(order.AppendUint16(order.AppendUint16(tiff, 0x0112), 3), 1)
	tiff = append(order.AppendUint16(order.AppendUint16(tiff, uint16(held)), 0), 0, 0, 0, 0)
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := append(binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(body)+2)), body...)
	return append(append([]byte{0xFF, 0xD8}, segment...), b.Bytes()[2:]...)
}

// shown puts a picture into a rectangle of 160 x 80 points (or 80 x 160 where it stands upright) at 20, 20.
func shown(t *testing.T, name string, data []byte, spots []spot) {
	t.Helper()
	const mm = 25.4 / 72
	r, err := readRaster(data)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	w, h := float64(r.Pixels.X)*4*mm, float64(r.Pixels.Y)*4*mm
	var b bytes.Buffer
	side := Side{Rasters: []PlacedRaster{
		{r, geom.Matrix{w, 0, 0, h, 20 * mm, 20 * mm}, geom.Rect{X1: 200 * mm, Y1: 200 * mm}},
		{r, geom.Matrix{w, 0, 0, h, 20 * mm, 20 * mm}, geom.Rect{}}, // nothing of it is seen
	}}
	if err := Write(t.Context(), &b, PrintFile{Paper: geom.Size{W: 200 * mm, H: 200 * mm}, Sides: []Side{side, side}}); err != nil {
		t.Fatal(err)
	}
	valid(t, name, b.Bytes())
	look(t, name, b.Bytes(), 2, spots)
}

func TestRastersAreShownUpright(t *testing.T) {
	dim := color.NRGBA{128, 128, 128, 255}
	picture := flag(color.Black, dim)
	upright := []spot{{40, 80, "black"}, {160, 40, "grey"}, {40, 40, "white"}, {160, 80, "white"}}
	shown(t, "png", asPNG(t, picture), upright)
	shown(t, "jpeg", asJPEG(t, picture, 0, nil), upright)
	shown(t, "grey png", asPNG(t, flagGrey()), upright)
	clear := flag(color.Black, color.NRGBA{0, 0, 0, 128}) // half opaque on white is grey
	shown(t, "png with a mask", asPNG(t, clear), upright)
	// Exif, CIPA DC-008: where row 0 and column 0 of what is stored are seen, from memory of the table: 1 top left, 2 top
	// right, 3 bottom right, 4 bottom left, 5 left top, 6 right top, 7 right bottom, 8 left bottom.
	wide := map[int][2]string{1: {"tl", "br"}, 2: {"tr", "bl"}, 3: {"br", "tl"}, 4: {"bl", "tr"}}
	high := map[int][2]string{5: {"tl", "br"}, 6: {"tr", "bl"}, 7: {"br", "tl"}, 8: {"bl", "tr"}}
	spots := func(places map[string]image.Point, at [2]string) (out []spot) {
		for name, p := range places {
			want := "white"
			switch name {
			case at[0]:
				want = "black"
			case at[1]:
				want = "grey"
			}
			out = append(out, spot{p.X, p.Y, want})
		}
		return out
	}
	for _, order := range []binary.AppendByteOrder{binary.BigEndian, binary.LittleEndian} {
		for held, at := range wide {
			shown(t, "held", asJPEG(t, picture, held, order), spots(map[string]image.Point{"tl": {40, 80}, "tr": {160, 80}, "bl": {40, 40}, "br": {160, 40}}, at))
		}
		for held, at := range high {
			shown(t, "held upright", asJPEG(t, picture, held, order), spots(map[string]image.Point{"tl": {40, 160}, "tr": {80, 160}, "bl": {40, 40}, "br": {80, 40}}, at))
		}
	}
}

// flagGrey is the same picture with grey pixels only.
func flagGrey() image.Image {
	from := flag(color.Black, color.Gray{128})
	p := image.NewGray(from.Bounds())
	for y := range 20 {
		for x := range 40 {
			p.Set(x, y, from.At(x, y))
		}
	}
	return p
}

// What is no picture, or only a part of one, is refused.
func TestNoPictureIsRefused(t *testing.T) {
	whole := asPNG(t, flag(color.Black, color.Black))
	photo := asJPEG(t, flag(color.Black, color.Black), 6, binary.LittleEndian)
	for name, data := range map[string][]byte{
		"nothing": nil, "text": []byte("a lighthouse"), "half a png": whole[:len(whole)/2], "a head": whole[:40], "half a jpeg": photo[:len(photo)/2],
	} {
		if _, err := readRaster(data); !errors.Is(err, ErrPicture) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for n := range photo { // whatever is lost of Exif, nothing breaks
		orientation(photo[:n])
	}
	path := filepath.Join(t.TempDir(), "tower.png")
	if _, err := OpenRaster(path); !errors.Is(err, ErrNotFound) {
		t.Errorf("a missing file: %v", err)
	}
	if err := os.WriteFile(path, whole[:60], 0o666); err != nil {
		t.Fatal(err)
	}
	var named *Error
	if _, err := OpenRaster(path); !errors.As(err, &named) || named.File != path {
		t.Errorf("a broken file: %v", err)
	}
}
