// Package raster writes pages as PWG Raster, for printers that take no PDF: [Writer].
//
// Source: PWG 5102.4-2012 (PWG Raster Format); sections are named where they are used.
package raster

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"io"
	"math"

	"foldwright/reorder/geom"
)

// Back is how the image of a back is turned before it is sent, so that it comes out
// upright once the sheet has been turned about its long edge (PWG 5102.4, section 4.3.5.1:
// pwg-raster-document-sheet-back).
type Back string

// The values of pwg-raster-document-sheet-back.
const (
	Normal       Back = "normal"
	Flipped      Back = "flipped"
	Rotated      Back = "rotated"
	ManualTumble Back = "manual-tumble"
)

// transforms is the signs of the cross-feed and the feed direction of a back.
func (b Back) transforms() (cross, feed int32) {
	switch b {
	case Flipped:
		return 1, -1
	case Rotated:
		return -1, -1
	}
	return 1, 1 // manual-tumble turns backs only where the short edge is turned about
}

// Document is what all pages of a file have in common.
type Document struct {
	Paper  string    // PWG 5101.1
	Size   geom.Size // mm
	DPI    int
	Pages  int
	Duplex bool // fronts and backs alternate, turned about the long edge
	Backs  Back
}

// Pixels is the size of a page's image.
func (d Document) Pixels() image.Point {
	whole := func(mm float64) int { return int(math.Round(mm / geom.Inch * float64(d.DPI))) }
	return image.Pt(whole(d.Size.W), whole(d.Size.H))
}

// Writer writes the pages of a document one after the other.
type Writer struct {
	out      *bufio.Writer
	document Document
	written  int
}

// syncWord begins every file (section 4.1).
const syncWord = "RaS2"

// NewWriter begins a file.
func NewWriter(out io.Writer, d Document) *Writer {
	w := &Writer{out: bufio.NewWriterSize(out, 1<<16), document: d}
	_, _ = w.out.WriteString(syncWord) // an error comes again at the first flush
	return w
}

// WritePage writes a page of grey or coloured pixels, as it is to be seen on its side of
// the sheet.
func (w *Writer) WritePage(page image.Image) error {
	if got, want := page.Bounds().Size(), w.document.Pixels(); got != want {
		return fmt.Errorf("a page of %d x %d pixels on paper of %d x %d", got.X, got.Y, want.X, want.Y)
	}
	r := rows{cross: 1, feed: 1, height: page.Bounds().Dy()}
	switch p := page.(type) {
	case *image.Gray:
		r.pixels, r.stride, r.from, r.colours = p.Pix, p.Stride, 1, 1
	case *image.RGBA:
		r.pixels, r.stride, r.from, r.colours = p.Pix, p.Stride, 4, 3
	default:
		return fmt.Errorf("a page of %T", page)
	}
	if w.document.Duplex && w.written%2 == 1 {
		r.cross, r.feed = w.document.Backs.transforms()
	}
	w.written++
	if err := binary.Write(w.out, binary.BigEndian, w.document.header(r)); err != nil {
		return err
	}
	if err := w.writeRows(r); err != nil {
		return err
	}
	return w.out.Flush()
}

// rows is the pixels of a page, and how they are turned.
type rows struct {
	pixels         []byte
	stride, height int
	from, colours  int // bytes of a pixel in pixels, and in the file
	cross, feed    int32
}

// read is a row as it stands in the file, counted from the page's head.
func (r rows) read(into []byte, y int) {
	if r.feed < 0 {
		y = r.height - 1 - y
	}
	row, n := r.pixels[y*r.stride:], len(into)/r.colours
	for x := range n {
		at := x
		if r.cross < 0 {
			at = n - 1 - x
		}
		copy(into[x*r.colours:(x+1)*r.colours], row[at*r.from:])
	}
}

// writeRows writes equal rows once, with their number (section 4.4).
func (w *Writer) writeRows(r rows) error {
	width := w.document.Pixels().X * r.colours
	row, next := make([]byte, width), make([]byte, width)
	var packed []byte
	r.read(row, 0)
	for y := 0; y < r.height; {
		same := 1
		for ; y+same < r.height && same < 256; same++ {
			if r.read(next, y+same); !bytes.Equal(row, next) {
				break
			}
		}
		packed = pack(append(packed[:0], byte(same-1)), row, r.colours)
		if _, err := w.out.Write(packed); err != nil {
			return err
		}
		if y += same; y < r.height {
			r.read(row, y)
		}
	}
	return nil
}

// pack appends a row of pixels of n bytes: a byte below 128 and a pixel are one more equal
// ones, a byte above and 257 less it pixels are different ones (section 4.4.2).
func pack(to, row []byte, n int) []byte {
	const most = 128
	count := len(row) / n
	same := func(a, b int) bool { return bytes.Equal(row[a*n:a*n+n], row[b*n:b*n+n]) }
	for at := 0; at < count; {
		end := at + 1
		for end < count && end-at < most && same(end, at) {
			end++
		}
		if end-at > 1 || end == count || end+1 < count && same(end, end+1) {
			to = append(append(to, byte(end-at-1)), row[at*n:at*n+n]...)
			at = end
			continue
		}
		for end < count && end-at < most && (end+1 == count || !same(end, end+1)) {
			end++
		}
		to = append(append(to, byte(257-(end-at))), row[at*n:end*n]...)
		at = end
	}
	return to
}

// header is a page's header of 1796 bytes (section 4.3, table 1); fields that the format
// reserves are zero.
type header struct {
	PwgRaster, MediaColor, MediaType, PrintContentOptimize [64]byte
	_                                                      [12]byte
	CutMedia, Duplex                                       uint32
	HWResolution                                           [2]uint32
	_                                                      [16]byte
	InsertSheet, Jog, LeadingEdge                          uint32
	_                                                      [12]byte
	MediaPosition, MediaWeight                             uint32
	_                                                      [8]byte
	NumCopies, Orientation                                 uint32
	_                                                      [4]byte
	PageSize                                               [2]uint32 // points
	_                                                      [8]byte
	Tumble, Width, Height                                  uint32
	_                                                      [4]byte
	BitsPerColor, BitsPerPixel, BytesPerLine               uint32
	ColorOrder, ColorSpace                                 uint32
	_                                                      [16]byte
	NumColors                                              uint32
	_                                                      [28]byte
	TotalPageCount                                         uint32
	CrossFeedTransform, FeedTransform                      int32
	ImageBox                                               [4]uint32 // left, top, right, bottom in pixels
	AlternatePrimary, PrintQuality                         uint32
	_                                                      [20]byte
	VendorIdentifier, VendorLength                         uint32
	_                                                      [1088]byte
	_                                                      [64]byte
	RenderingIntent, PageSizeName                          [64]byte
}

// Values of the header (tables 2 to 8).
const (
	one     = 1
	sGray   = 18 // ColorSpace
	sRGB    = 19
	bits    = 8
	pointMM = geom.Inch / 72
)

func (d Document) header(r rows) *header {
	pixels := d.Pixels()
	h := &header{
		HWResolution: [2]uint32{uint32(d.DPI), uint32(d.DPI)}, NumCopies: one,
		PageSize: [2]uint32{uint32(math.Round(d.Size.W / pointMM)), uint32(math.Round(d.Size.H / pointMM))},
		Width:    uint32(pixels.X), Height: uint32(pixels.Y),
		BitsPerColor: bits, BitsPerPixel: uint32(bits * r.colours), BytesPerLine: uint32(pixels.X * r.colours),
		ColorSpace: sGray, NumColors: uint32(r.colours),
		TotalPageCount: uint32(d.Pages), CrossFeedTransform: r.cross, FeedTransform: r.feed,
		ImageBox: [4]uint32{0, 0, uint32(pixels.X), uint32(pixels.Y)}, // PrintQuality stays 0: the printer's own
	}
	if r.colours > 1 {
		h.ColorSpace = sRGB
	}
	if d.Duplex {
		h.Duplex = one
	}
	copy(h.PwgRaster[:], "PwgRaster")
	copy(h.PageSizeName[:], d.Paper)
	return h
}
