package cos

import (
	"bytes"
	"compress/zlib"
	"io"
	"slices"
	"sync"
)

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
func Packed(parts ...[]byte) (*Stream, error) {
	if !slices.ContainsFunc(parts, func(p []byte) bool { return len(p) > 0 }) {
		return NewStream(&Dict{}, nil), nil
	}
	var out bytes.Buffer
	if err := deflate(&out, parts...); err != nil {
		return nil, err
	}
	return NewStream(NewDict(Name("Filter"), Name("FlateDecode")), out.Bytes()), nil
}

// deflate appends the parts, packed as one, to out.
func deflate(out *bytes.Buffer, parts ...[]byte) error {
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
	z.Reset(out)
	for _, p := range parts {
		if _, err := z.Write(p); err != nil {
			return err
		}
	}
	return z.Close()
}
