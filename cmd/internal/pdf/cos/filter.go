package cos

import (
	"bytes"
	"compress/flate"
	"compress/lzw"
	"compress/zlib"
	"encoding/ascii85"
	"errors"
	"fmt"
	"io"
	"slices"
	"sync"

	tiff "golang.org/x/image/tiff/lzw"
)

// What can be wrong with the bytes of a stream.
var (
	ErrTooLarge = errors.New("decompresses to an impossible size")
	ErrPicture  = errors.New("is compressed as a picture")
	ErrPacking  = errors.New("is compressed in a damaged or unknown way")
)

// Raw is the stream's bytes as they are stored, decrypted.
func (f *File) Raw(s *Stream) ([]byte, error) {
	if s.data != nil || s.length == 0 {
		return s.data, nil
	}
	b, err := f.window(s.offset, s.length)
	if err != nil || f.crypt == nil || f.isPlain(s) {
		return b, err
	}
	return f.crypt.decrypt(f.crypt.streams, s.Ref, append([]byte(nil), b...)), nil
}

// isPlain tells whether a stream of an encrypted file isn't encrypted.
func (f *File) isPlain(s *Stream) bool {
	if kind := s.Dict.Get("Type"); s.plain || kind == Name("XRef") || kind == Name("Metadata") && !f.crypt.metadata {
		return true
	}
	names, parms := f.filters(s.Dict)
	if len(names) == 0 || names[0] != "Crypt" {
		return false
	}
	name := f.Resolve(parms[0].Get("Name"))
	return name == nil || name == Name("Identity")
}

// Filters is how many filters a stream is packed with.
func (f *File) Filters(s *Stream) int {
	names, _ := f.filters(s.Dict)
	return len(names)
}

// filters are the names of a stream's filters and as many parameters.
func (f *File) filters(d *Dict) (names []Name, parms []*Dict) {
	ps := f.List(d.Get("DecodeParms"))
	for i, o := range f.List(d.Get("Filter")) {
		if name, ok := f.Resolve(o).(Name); ok {
			var parm *Dict
			if i < len(ps) {
				parm = f.Dict(ps[i])
			}
			names, parms = append(names, name), append(parms, parm)
		}
	}
	return names, parms
}

// Decode unpacks a stream. Damage at the end gives what could be unpacked
// and an error; errors match ErrTooLarge (more than limit bytes), ErrPicture or ErrPacking.
func (f *File) Decode(s *Stream, limit int64) ([]byte, error) {
	data, err := f.Raw(s)
	if err != nil {
		return nil, err
	}
	names, parms := f.filters(s.Dict)
	if len(names) > 16 {
		return nil, ErrPacking
	}
	var damage error
	for i, name := range names {
		var err error
		switch name {
		case "Crypt":
			continue
		case "DCTDecode", "DCT", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "CCF":
			return data, ErrPicture
		}
		data, err = f.unfilter(name, parms[i], data, limit)
		if gaveUp := f.Err(); gaveUp != nil {
			return nil, gaveUp
		}
		if errors.Is(err, ErrTooLarge) || errors.Is(err, errUnknown) {
			return nil, err
		}
		if err != nil {
			damage = err
		}
		if name == "FlateDecode" || name == "Fl" || name == "LZWDecode" || name == "LZW" {
			if err := f.budget.spend(int64(len(data))); err != nil {
				return nil, err
			}
			data = f.unpredict(data, parms[i])
		}
	}
	return data, damage
}

// errUnknown is that of a filter that doesn't exist.
var errUnknown = fmt.Errorf("%w: there is no such filter", ErrPacking)

// unfilter undoes one filter.
func (f *File) unfilter(name Name, parms *Dict, data []byte, limit int64) (out []byte, err error) {
	g := &gauge{budget: f.budget, limit: limit}
	defer g.release()
	switch name {
	case "FlateDecode", "Fl":
		out, err = inflate(data, g)
	case "LZWDecode", "LZW":
		out, err = unlzw(data, f.Resolve(parms.Get("EarlyChange")) != Int(0), g)
	case "ASCII85Decode", "A85":
		out, err = unascii85(data, g)
	case "ASCIIHexDecode", "AHx":
		p := &parser{buf: data} // which makes one byte of two
		out = []byte(p.hex())
	case "RunLengthDecode", "RL":
		out, err = unrunlength(data, g)
	default:
		return nil, errUnknown
	}
	if gaveUp := g.pay(int64(len(out))); gaveUp != nil {
		return nil, gaveUp
	}
	return out, err
}

var inflaters = sync.Pool{New: func() any { return flate.NewReader(bytes.NewReader(nil)) }}

// inflate ignores zlib's checksum, which viewers don't look at either.
func inflate(data []byte, g *gauge) ([]byte, error) {
	if len(data) < 2 {
		return nil, nil
	}
	if data[0]&15 == 8 { // zlib's header; without it the data is taken for bare deflate
		data = data[2:]
	}
	r := inflaters.Get().(io.ReadCloser)
	defer inflaters.Put(r)
	if err := r.(flate.Resetter).Reset(bytes.NewReader(data), nil); err != nil {
		return nil, err
	}
	return drain(r, 4*len(data)+512, g)
}

// drain reads all that a filter makes, which is guessed to be so many bytes.
func drain(r io.Reader, guess int, g *gauge) ([]byte, error) {
	out := make([]byte, 0, min(int64(guess), g.limit+1))
	for {
		n, err := r.Read(out[len(out):cap(out)])
		out = out[:len(out)+n]
		switch {
		case err == io.EOF:
			return out, nil
		case err != nil:
			return out, fmt.Errorf("%w: %w", ErrPacking, err)
		}
		if err := g.pass(len(out)); err != nil {
			return nil, err
		}
		if len(out) == cap(out) {
			out = slices.Grow(out, int(min(int64(len(out)), g.limit+1-int64(len(out))))) // append would copy it more often
		}
	}
}

// unlzw takes data that breaks off for all there is.
func unlzw(data []byte, early bool, g *gauge) ([]byte, error) {
	r := lzw.NewReader(bytes.NewReader(data), lzw.MSB, 8)
	if early { // codes grow one code sooner, as in TIFF
		r = tiff.NewReader(bytes.NewReader(data), tiff.MSB, 8)
	}
	out, err := drain(r, 4*len(data)+512, g)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = nil
	}
	return out, err
}

// unascii85 passes over what does not belong into such data.
func unascii85(data []byte, g *gauge) ([]byte, error) {
	data = bytes.TrimPrefix(bytes.TrimLeft(data, "\x00\t\n\f\r "), []byte("<~"))
	data, _, _ = bytes.Cut(data, []byte("~"))
	data = bytes.Map(func(r rune) rune {
		if r < '!' || r > 'u' && r != 'z' {
			return -1
		}
		return r
	}, data)
	out, err := drain(ascii85.NewDecoder(bytes.NewReader(data)), len(data)+512, g)
	if errors.Is(err, ErrPacking) {
		err = nil // a last group of one letter, which stands for nothing
	}
	return out, err
}

func unrunlength(data []byte, g *gauge) ([]byte, error) {
	var out []byte
	for i := 0; i < len(data); {
		n := int(data[i])
		i++
		switch {
		case n == 128:
			return out, nil
		case n < 128:
			end := min(i+n+1, len(data))
			out = append(out, data[i:end]...)
			i = end
		case i < len(data):
			out = append(out, bytes.Repeat(data[i:i+1], 257-n)...)
			i++
		}
		if err := g.pass(len(out)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// What a new packer allocates, over 700 kB, is not touched until its tables are
// looked up, and on Linux a page of memory that is read before it is
// written costs two faults and a signal to the other processors: a quarter of
// the time of a small book. Here the tables exist before Reset, which writes them.
func packers(level int) *sync.Pool {
	return &sync.Pool{New: func() any {
		z, _ := zlib.NewWriterLevel(io.Discard, level) // the levels below exist
		_, _ = z.Write(nil)                            // makes the tables
		return z
	}}
}

// Thorough is for what is long, quick for the objects and tables of short files:
// there clearing the tables of the other costs more than packing.
var (
	thorough = packers(zlib.DefaultCompression)
	quick    = packers(zlib.BestSpeed)
)

// quickUpTo is the length up to which quick packs as well, within 3 percent.
const quickUpTo = 4096

// Packed is a new stream of the given bytes, one part after the other.
func Packed(parts ...[]byte) *Stream {
	if !slices.ContainsFunc(parts, func(p []byte) bool { return len(p) > 0 }) {
		return NewStream(&Dict{}, nil)
	}
	return NewStream(NewDict("Filter", "FlateDecode"), deflate(parts...))
}

// deflate packs the parts as one.
func deflate(parts ...[]byte) []byte {
	length := 0
	for _, p := range parts {
		length += len(p)
	}
	pool := thorough
	if length <= quickUpTo {
		pool = quick
	}
	z := pool.Get().(*zlib.Writer)
	defer pool.Put(z)
	var out bytes.Buffer
	z.Reset(&out)
	for _, p := range parts {
		_, _ = z.Write(p) // into memory, which takes all
	}
	_ = z.Close()
	return out.Bytes()
}
