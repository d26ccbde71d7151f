package cos

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"sync"

	"foldwright/reorder/refusal"
)

// Writer writes a PDF file from its beginning to its end. Streams stand by themselves,
// all other objects are collected in object streams.
type Writer struct {
	w       *bufio.Writer
	at      int64
	entries []entry // by number; 0 is the head of the free list
	buf     []byte
	err     error

	pack    []byte // objects that wait for the next object stream
	packed  []int  // their numbers
	offsets []int  // and where they begin
}

const (
	packObjects = 200 // objects in one object stream
	packBytes   = 64 << 10
)

// NewWriter begins a file.
func NewWriter(w io.Writer) *Writer {
	out := &Writer{w: bufio.NewWriterSize(w, 64<<10), entries: make([]entry, 1, 1024)}
	out.write([]byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"))
	return out
}

func (w *Writer) write(b []byte) {
	if w.err == nil {
		_, w.err = w.w.Write(b)
	}
	w.at += int64(len(b))
}

// Err is the first error of writing.
func (w *Writer) Err() error { return w.err }

// Reserve takes the next number for an object that is written later.
func (w *Writer) Reserve() int {
	w.entries = append(w.entries, entry{})
	return len(w.entries) - 1
}

// Put writes an object that is no stream under a reserved number.
func (w *Writer) Put(num int, o Object, number func(Ref) int) {
	w.packed = append(w.packed, num)
	w.offsets = append(w.offsets, len(w.pack))
	w.pack = append(Append(w.pack, o, number), '\n')
	if len(w.packed) >= packObjects || len(w.pack) >= packBytes {
		w.flushPack()
	}
}

// PutStream writes a stream under a reserved number: a dictionary, in which
// Length is put right, and the bytes of s as they are stored in f. f may be nil for
// a stream in memory.
func (w *Writer) PutStream(num int, d *Dict, f *File, s *Stream, number func(Ref) int) error {
	data := s.data
	length := s.length
	direct := data == nil && length > 0 && (f.crypt == nil || f.isPlain(s)) && f.mem == nil
	if data == nil && !direct && length > 0 {
		var err error
		if data, err = f.Raw(s); err != nil {
			return err
		}
		length = int64(len(data))
	}
	w.begin(num)
	w.buf = append(w.buf, "<<"...)
	for _, e := range d.Entries {
		if e.Key != "Length" {
			w.buf = Append(appendName(w.buf, e.Key), e.Value, number)
		}
	}
	w.buf = append(w.buf, "/Length "...)
	w.buf = append(strconv.AppendInt(w.buf, length, 10), ">>stream\n"...)
	w.write(w.buf)
	if direct {
		if w.err == nil {
			w.err = Copy(w.w, f.src, s.offset, length)
		}
		w.at += length
	} else {
		w.write(data)
	}
	w.write([]byte("\nendstream\nendobj\n"))
	return w.err
}

// begin starts the indirect object in buf and notes where it is.
func (w *Writer) begin(num int) {
	w.entries[num] = entry{at: w.at, kind: plain}
	w.buf = append(strconv.AppendInt(w.buf[:0], int64(num), 10), " 0 obj\n"...)
}

func (w *Writer) flushPack() {
	if len(w.packed) == 0 {
		return
	}
	var head []byte
	container := w.Reserve()
	for i, num := range w.packed {
		head = append(strconv.AppendInt(head, int64(num), 10), ' ')
		head = append(strconv.AppendInt(head, int64(w.offsets[i]), 10), ' ')
		w.entries[num] = entry{at: int64(container), kind: packed, index: int32(i)}
	}
	data := deflate(head, w.pack)
	d := NewDict("Type", "ObjStm", "N", Int(len(w.packed)), "First", Int(len(head)), "Filter", "FlateDecode")
	w.packed, w.offsets, w.pack = w.packed[:0], w.offsets[:0], w.pack[:0]
	if err := w.PutStream(container, d, nil, NewStream(d, data), nil); err != nil && w.err == nil {
		w.err = err
	}
}

// Close writes what is left, the cross-reference stream with the keys of
// trailer, and the end of the file.
func (w *Writer) Close(trailer *Dict, number func(Ref) int) error {
	w.flushPack()
	num := w.Reserve()
	w.begin(num)
	wide := 4
	if w.at >= 1<<32 {
		wide = 6
	}
	w.entries[0] = entry{kind: free}
	row := 1 + wide + 2
	rows := make([]byte, 0, len(w.entries)*(row+1))
	before := make([]byte, row)
	now := make([]byte, row)
	for i, e := range w.entries {
		index := e.index
		if i == 0 {
			index = 65535
		}
		now[0] = e.kind
		for j := range wide {
			now[1+j] = byte(e.at >> (8 * (wide - 1 - j)))
		}
		now[1+wide], now[2+wide] = byte(index>>8), byte(index)
		rows = append(rows, 2) // PNG's predictor Up
		for j := range row {
			rows = append(rows, now[j]-before[j])
		}
		copy(before, now)
	}
	data := deflate(rows)
	d := NewDict("Type", "XRef", "Size", Int(len(w.entries)),
		"W", Array{Int(1), Int(wide), Int(2)}, "Filter", "FlateDecode",
		"DecodeParms", NewDict("Predictor", Int(12), "Columns", Int(row)), "Length", Int(len(data)))
	d.Entries = append(d.Entries, trailer.Entries...)
	start := w.at
	w.buf = append(Append(w.buf, d, number), "stream\n"...)
	w.write(w.buf)
	w.write(data)
	w.write(fmt.Appendf(nil, "\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n", start))
	if w.err == nil {
		w.err = w.w.Flush()
	}
	return w.err
}

// ErrShorter is that of a file that was cut short while it was being read.
var ErrShorter = refusal.Source.New("was changed while it was being read").Advise("try again when no other program is writing the file")

// pieces are in the processor's cache still for whoever looks at them after they were read.
var pieces = sync.Pool{New: func() any { return new(make([]byte, 64<<10)) }}

// Copy gives a part of a file to a writer, piece by piece. A part that reaches beyond the end is ErrShorter.
//
// Mapping the file instead, in windows of 4 MB, was tried: on a scan of 175 MB
// it took 5 percent more processor time, for what is copied lies in the cache
// when it is summed up, and what is mapped does not.
func Copy(to io.Writer, src io.ReaderAt, offset, length int64) error {
	piece := pieces.Get().(*[]byte)
	defer pieces.Put(piece)
	n, err := io.CopyBuffer(to, io.NewSectionReader(src, offset, length), *piece)
	if err == nil && n < length {
		err = ErrShorter
	}
	return err
}
