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
	Paper   string    // PWG 5101.1
	Size    geom.Size // mm
	DPI     int
	Pages   int
	Duplex  bool // fronts and backs alternate, turned about the long edge
	Backs   Back
	Quality uint32 // of print-quality, 0: the printer's
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

// WritePage writes a page of grey pixels, as it is to be seen on its side of the sheet.
func (w *Writer) WritePage(page *image.Gray) error {
	if got, want := page.Bounds().Size(), w.document.Pixels(); got != want {
		return fmt.Errorf("a page of %d x %d pixels on paper of %d x %d", got.X, got.Y, want.X, want.Y)
	}
	cross, feed := int32(1), int32(1)
	if w.document.Duplex && w.written%2 == 1 {
		cross, feed = w.document.Backs.transforms()
	}
	w.written++
	if err := binary.Write(w.out, binary.BigEndian, w.document.header(cross, feed)); err != nil {
		return err
	}
	if err := w.writeRows(page, cross, feed); err != nil {
		return err
	}
	return w.out.Flush()
}

// writeRows writes equal rows once, with their number (section 4.4).
func (w *Writer) writeRows(page *image.Gray, cross, feed int32) error {
	size := page.Bounds().Size()
	row, next := make([]byte, size.X), make([]byte, size.X)
	var packed []byte
	read := func(into []byte, y int) {
		if feed < 0 {
			y = size.Y - 1 - y
		}
		at := page.PixOffset(page.Rect.Min.X, page.Rect.Min.Y+y)
		copy(into, page.Pix[at:at+size.X])
		if cross < 0 {
			for i, j := 0, len(into)-1; i < j; i, j = i+1, j-1 {
				into[i], into[j] = into[j], into[i]
			}
		}
	}
	read(row, 0)
	for y := 0; y < size.Y; {
		same := 1
		for ; y+same < size.Y && same < 256; same++ {
			if read(next, y+same); !bytes.Equal(row, next) {
				break
			}
		}
		packed = pack(append(packed[:0], byte(same-1)), row)
		if _, err := w.out.Write(packed); err != nil {
			return err
		}
		y += same
		if y < size.Y {
			read(row, y)
		}
	}
	return nil
}

// pack appends a row of pixels of one byte: n below 128 and a pixel are n+1 equal ones,
// n above and 257-n pixels are as many different ones (section 4.4.2).
func pack(to, row []byte) []byte {
	for len(row) > 0 {
		equal := 1
		for equal < len(row) && equal < 128 && row[equal] == row[0] {
			equal++
		}
		if equal > 1 || len(row) == 1 {
			to, row = append(to, byte(equal-1), row[0]), row[equal:]
			continue
		}
		different := 1
		for different < len(row) && different < 128 && (different+1 == len(row) || row[different] != row[different+1]) {
			different++
		}
		if different == 1 { // followed by two equal ones
			to, row = append(to, 0, row[0]), row[1:]
			continue
		}
		to, row = append(append(to, byte(257-different)), row[:different]...), row[different:]
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
	bits    = 8
	pointMM = geom.Inch / 72
)

func (d Document) header(cross, feed int32) *header {
	pixels := d.Pixels()
	h := &header{
		HWResolution: [2]uint32{uint32(d.DPI), uint32(d.DPI)}, NumCopies: one,
		PageSize: [2]uint32{uint32(math.Round(d.Size.W / pointMM)), uint32(math.Round(d.Size.H / pointMM))},
		Width:    uint32(pixels.X), Height: uint32(pixels.Y),
		BitsPerColor: bits, BitsPerPixel: bits, BytesPerLine: uint32(pixels.X), ColorSpace: sGray, NumColors: one,
		TotalPageCount: uint32(d.Pages), CrossFeedTransform: cross, FeedTransform: feed,
		ImageBox:     [4]uint32{0, 0, uint32(pixels.X), uint32(pixels.Y)},
		PrintQuality: d.Quality,
	}
	if d.Duplex {
		h.Duplex = one
	}
	copy(h.PwgRaster[:], "PwgRaster")
	copy(h.PageSizeName[:], d.Paper)
	return h
}
