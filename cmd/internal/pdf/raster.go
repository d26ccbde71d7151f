package pdf

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"image/png"

	"foldwright/cmd/internal/pdf/cos"
	"foldwright/profiles/regular"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
)

// ErrPicture is a file that is no picture which can be placed.
var ErrPicture = refusal.Source.New("is no picture in PNG or JPEG that can be read").Advise("save it as PNG, JPEG or PDF")

// ErrPictureSize is a picture of more pixels than can be held.
var ErrPictureSize = refusal.Source.New("has more than %d million pixels", mostPixels/1_000_000).Advise("make the picture smaller: 300 pixels to the inch are enough")

const (
	mostPixels  = 200_000_000
	mostPicture = 500_000_000 // bytes of its file
)

// Raster is a picture made of pixels: a JPEG passes as it is, a PNG keeps its pixels.
type Raster struct {
	Pixels image.Point // width and height as it is seen upright
	key    string      // says what it is, in the ID of a file
	data   *cos.Stream
	mask   *cos.Stream // how opaque it is; nil: wholly
	turn   geom.Matrix // maps the unit square of the stored picture to that of the upright one
}

// PlacedRaster is a picture on a side.
type PlacedRaster struct {
	*Raster
	// Matrix maps the unit square, in which the picture stands upright, to the side, in mm.
	Matrix geom.Matrix
	// Clip is the rectangle of the side, in mm, that nothing of it leaves.
	Clip geom.Rect
}

// OpenRaster reads a picture. Its errors are of type [*Error].
func OpenRaster(path string) (_ *Raster, err error) {
	defer nameFile(&err, path)
	data, err := regular.Read(path, mostPicture)
	if err != nil {
		return nil, noFile(err)
	}
	return readRaster(data)
}

func readRaster(data []byte) (*Raster, error) {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || config.Width < 1 || config.Height < 1 {
		return nil, ErrPicture
	}
	if config.Width > mostPixels/config.Height {
		return nil, ErrPictureSize
	}
	r := &Raster{Pixels: image.Pt(config.Width, config.Height), key: fmt.Sprintf("picture %x\n", sha256.Sum256(data)), turn: geom.Identity}
	switch kind {
	case "jpeg":
		err = r.readJPEG(data, config.ColorModel)
	case "png":
		err = r.readPNG(data)
	default:
		err = ErrPicture
	}
	return r, err
}

// picture makes a picture of a stream of pixels with eight bits to a colour.
func picture(pixels *cos.Stream, space string, size image.Point) *cos.Stream {
	d := cos.NewDict("Type", "XObject", "Subtype", "Image", "Width", cos.Int(size.X), "Height", cos.Int(size.Y),
		"ColorSpace", space, "BitsPerComponent", cos.Int(8))
	d.Entries = append(d.Entries, pixels.Dict.Entries...)
	pixels.Dict = d
	return pixels
}

// readJPEG keeps the bytes: a reader of PDF unpacks them itself (ISO 32000-1, 7.4.8). Pictures in four colours, as
// programs write them for print, are stored inverted.
func (r *Raster) readJPEG(data []byte, model color.Model) error {
	if _, err := jpeg.Decode(bytes.NewReader(data)); err != nil {
		return ErrPicture
	}
	space := "DeviceRGB"
	switch model {
	case color.GrayModel:
		space = "DeviceGray"
	case color.CMYKModel:
		space = "DeviceCMYK"
	}
	packed := cos.NewStream(&cos.Dict{}, data)
	if model == color.CMYKModel && bytes.Contains(data, []byte("\xFF\xEE\x00\x0EAdobe")) {
		packed.Dict.Set("Decode", numbers(1, 0, 1, 0, 1, 0, 1, 0))
	}
	packed.Dict.Set("Filter", cos.Name("DCTDecode"))
	r.data = picture(packed, space, r.Pixels)
	r.turn = orientations[orientation(data)]
	if r.turn[0] == 0 {
		r.Pixels = image.Pt(r.Pixels.Y, r.Pixels.X)
	}
	return nil
}

// readPNG writes the pixels with eight bits to a colour, and how opaque they are as a mask of its own.
func (r *Raster) readPNG(data []byte) error {
	shown, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return ErrPicture
	}
	b := shown.Bounds()
	plain, ok := shown.(*image.NRGBA)
	if !ok {
		plain = image.NewNRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
		draw.Draw(plain, plain.Rect, shown, b.Min, draw.Src)
	}
	colours, opacity := make([]byte, 0, 3*b.Dx()*b.Dy()), make([]byte, 0, b.Dx()*b.Dy())
	opaque := true
	for y := range b.Dy() {
		row := plain.Pix[y*plain.Stride : y*plain.Stride+4*b.Dx()]
		for x := 0; x < len(row); x += 4 {
			colours = append(colours, row[x], row[x+1], row[x+2])
			opacity = append(opacity, row[x+3])
			opaque = opaque && row[x+3] == 255
		}
	}
	if !opaque {
		r.mask = picture(cos.Packed(opacity), "DeviceGray", r.Pixels)
	}
	r.data = picture(cos.Packed(colours), "DeviceRGB", r.Pixels)
	return nil
}

// orientations are the maps of the unit square by the values of Exif's tag Orientation (CIPA DC-008): 1 as it is,
// 2 mirrored, 3 half a turn, 4 mirrored upside down, 5 to 8 with rows for columns.
var orientations = [9]geom.Matrix{
	{1, 0, 0, 1, 0, 0}, {1, 0, 0, 1, 0, 0}, {-1, 0, 0, 1, 1, 0}, {-1, 0, 0, -1, 1, 1}, {1, 0, 0, -1, 0, 1},
	{0, -1, -1, 0, 1, 1}, {0, -1, 1, 0, 0, 1}, {0, 1, 1, 0, 0, 0}, {0, 1, -1, 0, 1, 0},
}

// orientation is how a camera was held, by the Exif data of a JPEG; 0 if it does not say.
func orientation(data []byte) int {
	const app1, scan, tag = 0xE1, 0xDA, 0x0112
	for at := 2; at+4 <= len(data) && data[at] == 0xFF && data[at+1] != scan; {
		length := int(binary.BigEndian.Uint16(data[at+2:]))
		end := min(at+2+length, len(data))
		body := data[min(at+4, end):end]
		if data[at+1] == app1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) && len(body) > 14 {
			return tiffTag(body[6:], tag)
		}
		at += 2 + max(length, 2)
	}
	return 0
}

// tiffTag is a small value of the first directory of a TIFF structure, from 1 to 8; else 0.
func tiffTag(tiff []byte, tag uint16) int {
	order := binary.ByteOrder(binary.BigEndian)
	if tiff[0] == 'I' {
		order = binary.LittleEndian
	}
	first := int64(order.Uint32(tiff[4:]))
	if first+2 > int64(len(tiff)) {
		return 0
	}
	entries := tiff[first+2:]
	for range order.Uint16(tiff[first:]) {
		if len(entries) < 12 {
			return 0
		}
		if v := int(order.Uint16(entries[8:])); order.Uint16(entries) == tag && v >= 1 && v <= 8 {
			return v
		}
		entries = entries[12:]
	}
	return 0
}

// raster is the number of a picture's object, which is written once.
func (a *assembly) raster(r *Raster) int {
	num, ok := a.made[r.key]
	if ok {
		return num
	}
	a.id = append(a.id, r.key...)
	shows := *r.data
	if r.mask != nil {
		shows.Dict = shows.Dict.Without()
		shows.Dict.Set("SMask", cos.Ref{Num: a.stream(r.mask)})
	}
	num = a.stream(&shows)
	a.made[r.key] = num
	return num
}

// placeRaster adds a picture to a side's content and resources.
func (a *assembly) placeRaster(content []byte, objects *cos.Dict, p PlacedRaster, name string) ([]byte, error) {
	if isFlat(p.Matrix) {
		return nil, ErrUnplaceable
	}
	objects.Set(cos.Name(name), cos.Ref{Num: a.raster(p.Raster)})
	content = appendClip(append(content, "q\n"...), p.Clip)
	content = append(appendMatrix(content, p.turn.Then(p.Matrix).Then(geom.Enlarge(pointsPerMM))), " cm\n"...)
	return fmt.Appendf(content, "/%s Do\nQ\n", name), nil
}
