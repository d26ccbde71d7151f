package render

import (
	"bufio"
	"encoding/gob"
	"errors"
	"fmt"
	"image"
	"io"
	"strings"

	"foldwright/reorder/geom"
)

// What passes between this process and one that draws: values of order one way and
// of reply the other, in gob, and after each as many bytes as it says.

// order is what a process is told. Its first is Options.
type order struct {
	Close   int // the number of a document; 0: none
	Ask     *asking
	Bytes   int  // follow: those that it asked for
	Refused bool // they can't be read
}

type asking struct {
	Document int // its number
	Size     int64
	Password string
	Request  request
	Memory   int64
}

// reply is what a process says: that it has begun to take much memory (only where it translates while a person
// waits), that it can begin, what it wants to read of a
// document, what it writes, and last what became of a request.
type reply struct {
	Grown   bool
	Ready   bool
	Read    *reading
	Bytes   int // follow: a copy's, or the pixels of Answer
	Answer  any
	Done    bool
	Failure string // empty: none
	Anew    bool   // with Done: no document is open any more
}

type reading struct {
	Document int
	At       int64
	Length   int
}

// wire is one end of what passes between two processes. Either direction is for
// one goroutine at a time.
type wire struct {
	in  *bufio.Reader
	out *bufio.Writer
	dec *gob.Decoder
	enc *gob.Encoder
}

func newWire(in io.Reader, out io.Writer) *wire {
	for _, value := range []any{geom.Size{}, &image.Gray{}, &image.RGBA{}, []Glyph{}} { // what may stand in an answer
		gob.Register(value)
	}
	w := &wire{in: bufio.NewReaderSize(in, 64<<10), out: bufio.NewWriterSize(out, 64<<10)}
	// The decoder takes no more than it needs of what has ReadByte, as w.in has.
	w.dec, w.enc = gob.NewDecoder(w.in), gob.NewEncoder(w.out)
	return w
}

// send sends a value and the bytes that it says follow.
func (w *wire) send(value any, bytes []byte) error {
	err := w.enc.Encode(value)
	if err == nil {
		_, err = w.out.Write(bytes)
	}
	return errors.Join(err, w.out.Flush())
}

// splitPixels parts a picture from its pixels, which gob would copy twice.
func splitPixels(answer any) (any, []byte) {
	switch p := answer.(type) {
	case *image.Gray:
		return &image.Gray{Stride: p.Stride, Rect: p.Rect}, p.Pix
	case *image.RGBA:
		return &image.RGBA{Stride: p.Stride, Rect: p.Rect}, p.Pix
	}
	return answer, nil
}

// joinPixels puts them together again.
func joinPixels(answer any, pixels []byte) any {
	switch p := answer.(type) {
	case *image.Gray:
		p.Pix = pixels
	case *image.RGBA:
		p.Pix = pixels
	}
	return answer
}

// textOf is what passes between processes of an error.
func textOf(err error) string {
	for _, known := range append(refusals, ErrMemory) {
		if errors.Is(err, known) {
			return known.Error()
		}
	}
	return err.Error()
}

// errorOf is the error itself if it is one of ours.
func errorOf(why string) error {
	for _, known := range append(refusals, ErrMemory) {
		if why == known.Error() {
			return known
		}
	}
	return fmt.Errorf("%w: %s", ErrEngine, strings.TrimPrefix(why, ErrEngine.Error()+": "))
}
