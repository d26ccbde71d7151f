package cos

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"testing"
)

// A part of a file is copied whole and in order, wherever it begins and ends.
func TestCopy(t *testing.T) {
	const piece = 64 << 10
	data := make([]byte, 3*piece+100)
	random := rand.NewChaCha8([32]byte{1})
	random.Read(data)
	for _, part := range [][2]int{{0, 0}, {0, 1}, {7, piece}, {1, 2*piece + 5}, {0, len(data)}, {len(data) - 3, 3}} {
		var got bytes.Buffer
		err := Copy(&got, bytes.NewReader(data), int64(part[0]), int64(part[1]))
		if err != nil || !bytes.Equal(got.Bytes(), data[part[0]:part[0]+part[1]]) {
			t.Errorf("%v: %d bytes, %v", part, got.Len(), err)
		}
	}
	full := errors.New("the disk is full")
	if err := Copy(broken{full}, bytes.NewReader(data), 0, piece); err != full {
		t.Error(err)
	}
	if err := Copy(io.Discard, bytes.NewReader(data), 0, int64(len(data)+1)); err != ErrShorter {
		t.Error(err)
	}
}

// A stream that is copied from a file cut short meanwhile is not written shorter.
func TestStreamOfAFileCutShort(t *testing.T) {
	stream := NewStream(&Dict{}, bytes.Repeat([]byte("tide"), 1000))
	data, numbers := numbered(t, stream)
	f := windowed(t, data)
	s := f.Get(numbers[0]).(*Stream)
	f.src = bytes.NewReader(data[:s.offset+100])
	w := NewWriter(io.Discard)
	if err := w.PutStream(w.Reserve(), s.Dict, f, s, same); err != ErrShorter {
		t.Error(err)
	}
}
