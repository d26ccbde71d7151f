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
func Packed(parts ...[]byte) *Stream {
	if !slices.ContainsFunc(parts, func(p []byte) bool { return len(p) > 0 }) {
		return NewStream(&Dict{}, nil)
	}
	return NewStream(NewDict(Name("Filter"), Name("FlateDecode")), deflate(parts...))
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
