package cos

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"testing"
)

// A part of a file is shown whole and in order, wherever it begins and ends.
func TestView(t *testing.T) {
	data := make([]byte, 3*viewed+100)
	random := rand.NewChaCha8([32]byte{1})
	random.Read(data)
	for _, part := range [][2]int{{0, 0}, {0, 1}, {7, viewed}, {1, 2*viewed + 5}, {0, len(data)}, {len(data) - 3, 3}} {
		var got []byte
		err := View(bytes.NewReader(data), int64(part[0]), int64(part[1]), func(piece []byte) error {
			got = append(got, piece...)
			return nil
		})
		if err != nil || !bytes.Equal(got, data[part[0]:part[0]+part[1]]) {
			t.Errorf("%v: %d bytes, %v", part, len(got), err)
		}
	}
	full := errors.New("the disk is full")
	if err := View(bytes.NewReader(data), 0, viewed, func([]byte) error { return full }); err != full {
		t.Error(err)
	}
	if err := View(bytes.NewReader(data), 0, int64(len(data)+1), func([]byte) error { return nil }); err != ErrShorter {
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
