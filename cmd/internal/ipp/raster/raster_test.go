package raster_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"math/rand/v2"
	"testing"

	"foldwright/cmd/internal/ipp/raster"
	"foldwright/reorder/geom"
	"foldwright/reorder/sample"
)

// readPage reads a page at the beginning of data: what it reads stands where PWG 5102.4,
// table 1, says, counted in bytes here and not by the writer's type.
func readPage(t *testing.T, data []byte) (field func(at int) uint32, page *image.Gray, rest []byte) {
	field, rows, rest := readRows(t, data)
	page = image.NewGray(image.Rect(0, 0, int(field(372)), int(field(376))))
	for y, row := range rows {
		copy(page.Pix[y*page.Stride:], row)
	}
	return field, page, rest
}

// readRows is the rows of a page as bytes.
func readRows(t *testing.T, data []byte) (field func(at int) uint32, rows [][]byte, rest []byte) {
	t.Helper()
	const headerBytes = 1796
	if len(data) < headerBytes {
		t.Fatalf("%d bytes are no page", len(data))
	}
	head := data[:headerBytes]
	field = func(at int) uint32 { return binary.BigEndian.Uint32(head[at:]) }
	n := int(field(388)) / 8
	w, h := int(field(372))*n, int(field(376))
	data = data[headerBytes:]
	for len(rows) < h {
		times := int(data[0]) + 1
		data = data[1:]
		var row []byte
		for len(row) < w {
			code := int(data[0])
			switch {
			case code < 128:
				row = append(row, bytes.Repeat(data[1:1+n], code+1)...)
				data = data[1+n:]
			case code == 128:
				t.Fatal("128 is reserved")
			default:
				row = append(row, data[1:1+(257-code)*n]...)
				data = data[1+(257-code)*n:]
			}
		}
		if len(row) != w {
			t.Fatalf("row %d has %d bytes, want %d", len(rows), len(row), w)
		}
		for range times {
			rows = append(rows, row)
		}
	}
	return field, rows, data
}

// drawPage is a page of stripes, equal rows and noise.
func drawPage(random *rand.Rand, size image.Point) *image.Gray {
	page := image.NewGray(image.Rectangle{Max: size})
	for y := range size.Y {
		for x := range size.X {
			v := uint8(255)
			switch {
			case y%50 < 20:
				v = uint8(random.IntN(3))
			case x%7 == 0:
				v = uint8(x)
			case y > size.Y/2 && x < 400:
				v = uint8(random.IntN(256))
			}
			page.SetGray(x, y, color.Gray{Y: v})
		}
	}
	return page
}

// Whatever is written is read again, pixel by pixel: the fronts as they are, the backs as
// the printer wants them (PWG 5102.4, section 4.3.5.1; the table of the signs from memory).
func TestPagesAreReadAsTheyWereWritten(t *testing.T) {
	random := sample.Random(t)
	for _, c := range []struct {
		back        raster.Back
		cross, feed int32
	}{{raster.Normal, 1, 1}, {raster.Flipped, 1, -1}, {raster.Rotated, -1, -1}, {raster.ManualTumble, 1, 1}} {
		d := raster.Document{Paper: "iso_a6_105x148mm", Size: geom.Size{W: 105, H: 148}, DPI: 150, Pages: 2, Duplex: true, Backs: c.back}
		var out bytes.Buffer
		w := raster.NewWriter(&out, d)
		pages := []*image.Gray{drawPage(random, d.Pixels()), drawPage(random, d.Pixels())}
		for _, p := range pages {
			if err := w.WritePage(p); err != nil {
				t.Fatal(err)
			}
		}
		data := out.Bytes()
		if string(data[:4]) != "RaS2" {
			t.Fatalf("begins with %q", data[:4])
		}
		data = data[4:]
		for i, p := range pages {
			var field func(int) uint32
			var got *image.Gray
			field, got, data = readPage(t, data)
			cross, feed := int32(1), int32(1)
			if i == 1 {
				cross, feed = c.cross, c.feed
			}
			for at, want := range map[int]uint32{
				272: 1, 276: 150, 280: 150, 340: 1, 352: 298, 356: 420, 368: 0, 372: 620, 376: 874, 384: 8, 388: 8, 392: 620, 400: 18, 420: 1,
				452: 2, 456: uint32(cross), 460: uint32(feed), 464: 0, 472: 620, 476: 874,
			} {
				if field(at) != want {
					t.Errorf("%s, page %d: byte %d holds %d, want %d", c.back, i+1, at, field(at), want)
				}
			}
			size := p.Bounds().Size()
			for y := range size.Y {
				for x := range size.X {
					sx, sy := x, y
					if cross < 0 {
						sx = size.X - 1 - x
					}
					if feed < 0 {
						sy = size.Y - 1 - y
					}
					if got.GrayAt(x, y) != p.GrayAt(sx, sy) {
						t.Fatalf("%s, page %d: pixel %d, %d is %v, want %v", c.back, i+1, x, y, got.GrayAt(x, y), p.GrayAt(sx, sy))
					}
				}
			}
		}
		if len(data) > 0 {
			t.Errorf("%s: %d bytes follow the last page", c.back, len(data))
		}
	}
}

func TestAPageOfAnotherSizeIsRefused(t *testing.T) {
	w := raster.NewWriter(&bytes.Buffer{}, raster.Document{Size: geom.Size{W: 105, H: 148}, DPI: 150})
	if err := w.WritePage(image.NewGray(image.Rect(0, 0, 5, 5))); err == nil {
		t.Error("a page of five pixels was written on A6")
	}
}

// A page in colour beside a grey one.
func TestColoursAreReadAsTheyWereWritten(t *testing.T) {
	random := sample.Random(t)
	d := raster.Document{Size: geom.Size{W: 60, H: 50}, DPI: 150, Duplex: true, Backs: raster.Rotated}
	grey, colours := image.NewGray(image.Rectangle{Max: d.Pixels()}), image.NewRGBA(image.Rectangle{Max: d.Pixels()})
	for i := range colours.Pix {
		colours.Pix[i] = uint8(random.IntN(2)) * uint8(i%9)
	}
	var out bytes.Buffer
	w := raster.NewWriter(&out, d)
	for _, page := range []image.Image{grey, colours} {
		if err := w.WritePage(page); err != nil {
			t.Fatal(err)
		}
	}
	_, _, rest := readPage(t, out.Bytes()[4:])
	field, rows, _ := readRows(t, rest)
	if field(400) != 19 || field(388) != 24 || field(420) != 3 {
		t.Errorf("colour space %d, %d bits, %d colours", field(400), field(388), field(420))
	}
	size := d.Pixels()
	for y, row := range rows {
		for x := range size.X {
			at := colours.PixOffset(size.X-1-x, size.Y-1-y)
			if !bytes.Equal(row[3*x:3*x+3], colours.Pix[at:at+3]) {
				t.Fatalf("pixel %d, %d is %v, want %v", x, y, row[3*x:3*x+3], colours.Pix[at:at+3])
			}
		}
	}
}
