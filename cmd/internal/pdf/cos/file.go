package cos

import (
	"bytes"
	"context"
	"errors"
	"io"
	"sync"
	"sync/atomic"

	"foldwright/reorder/refusal"
)

// What can be wrong with a file as a whole.
var (
	ErrNotPDF    = errors.New("is not a PDF file")
	ErrTruncated = refusal.Source.New("is cut short: its end is missing").Advise("download or copy the file again")
	ErrDamaged   = errors.New("is damaged and can't be read")
)

const (
	maxObjects  = 1 << 23 // object numbers beyond are taken for damage, as in common readers
	wholeFile   = 96 << 20
	firstWindow = 4 << 10
	maxLinks    = 64   // references that lead to references
	cacheLimit  = 4096 // parsed objects that are kept
	cacheWeight = maxMembers
	unpackLimit = 64 << 20 // bytes of one unpacked object stream or table
	objStmCache = 24 << 20
)

// File is an open PDF file. Its methods may be called from several goroutines.
type File struct {
	src     io.ReaderAt
	size    int64
	mem     []byte // the whole file, if it is small enough to be held
	shift   int64  // bytes before the header, which offsets don't count
	xref    table
	Trailer *Dict
	crypt   *crypt // nil: not encrypted

	budget *budget

	mu       sync.Mutex
	cache    map[int]known
	weight   int // members of the objects in it
	unpacked map[int]*objectStream
	held     int // bytes of unpacked object streams
	warnings []string
	warned   map[string]bool

	whole *File // see withoutPacks; nil for the file itself

	endless atomic.Int64 // one more than where a stream begins after which no end of any stands; 0: not known

	lookOnce sync.Once
	looked   *found // what a look through the whole file brought to light
	rebuilt  bool   // and the table was made from it
	packOnce sync.Once
	packs    *File // the file as it would be if the table were made from it
}

// known is an object that has been read, and how many members it has.
type known struct {
	object  Object
	members int
}

// Open reads the cross-reference data of a file. It decides nothing about
// encryption: see File.Unlock. The context is that of all reading, not only of this: see File.Err.
func Open(ctx context.Context, src io.ReaderAt, size int64) (*File, error) {
	f := &File{src: src, size: size, budget: newBudget(ctx, size), cache: map[int]known{}, unpacked: map[int]*objectStream{}}
	if size <= wholeFile {
		f.mem = hold(size)
		if _, err := src.ReadAt(f.mem, 0); err != nil && err != io.EOF {
			return nil, err
		}
	}
	head, err := f.window(0, 1024)
	if err != nil {
		return nil, err
	}
	if i := bytes.Index(head, []byte("%PDF-")); i >= 0 {
		f.shift = int64(i)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if f.followXref() && f.hasPages() {
		f.correct()
		return f, f.Err()
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if err := f.Rebuild(); err != nil {
		return nil, err
	}
	return f, nil
}

// Rebuild puts the cross-reference data together by looking through the whole file.
func (f *File) Rebuild() error {
	looked := f.look()
	if err := f.Err(); err != nil {
		return err
	}
	f.mu.Lock()
	f.xref = looked.xref
	f.forget()
	f.mu.Unlock()
	f.Trailer = looked.trailer
	f.rebuilt = true
	if looked.trailer.Get("Encrypt") == nil {
		f.addPacked(looked)
	}
	if err := f.Err(); err != nil {
		return err
	}
	switch {
	case f.Trailer.Get("Root") != nil:
		f.Warn("the file's index is damaged; it was rebuilt")
		return nil
	case looked.objects == 0:
		return ErrNotPDF
	case !looked.end:
		return ErrTruncated
	}
	return ErrDamaged
}

// correct rebuilds a table that leads from a number to an object of another one. Such a table is
// out of step with its file, often by one object: others that it leaves out or calls
// free would be missing in silence.
func (f *File) correct() {
	if !f.isOutOfStep() {
		return
	}
	table, trailer := f.xref, f.Trailer
	if f.Rebuild() == nil && f.hasPages() || f.Err() != nil {
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.xref, f.Trailer, f.rebuilt = table, trailer, false
	f.forget()
}

// isOutOfStep tells whether any entry of the table leads to an object that bears another number.
func (f *File) isOutOfStep() bool {
	const longest = 40 // bytes that "num gen obj" takes, with some white space
	for num, e := range f.xref {
		if e.kind != plain {
			continue
		}
		head, err := f.window(e.at, longest)
		if err != nil {
			return false
		}
		p := parser{buf: head}
		if ref, ok := p.header(); ok && ref.Num != num {
			return true
		}
	}
	return false
}

// hasPages tells whether the catalog and its page tree can be reached. An encrypted
// file is judged likewise: neither dictionary has to be decrypted for that,
// unless it lies in an object stream.
func (f *File) hasPages() bool {
	if f.Trailer.Get("Encrypt") != nil {
		root, ok := f.Trailer.Get("Root").(Ref)
		return ok && root.Num < len(f.xref) && f.xref[root.Num].kind != free
	}
	return f.Dict(f.Dict(f.Trailer.Get("Root")).Get("Pages")) != nil
}

// Warn records a sentence about something that had to be repaired or left out.
func (f *File) Warn(sentence string) {
	if f.whole != nil {
		f.whole.Warn(sentence)
		return
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.warned[sentence] {
		return
	}
	if f.warned == nil {
		f.warned = map[string]bool{}
	}
	f.warned[sentence] = true
	f.warnings = append(f.warnings, sentence)
}

// Warnings are the sentences recorded so far.
func (f *File) Warnings() []string {
	f.mu.Lock()
	defer f.mu.Unlock()
	return append([]string(nil), f.warnings...)
}

// window is a part of the file, shorter at its end.
func (f *File) window(offset, n int64) ([]byte, error) {
	if offset < 0 || offset >= f.size {
		return nil, nil
	}
	n = min(n, f.size-offset)
	if f.mem != nil {
		return f.mem[offset : offset+n : offset+n], nil
	}
	buf := make([]byte, n)
	if _, err := f.src.ReadAt(buf, offset); err != nil && err != io.EOF {
		return nil, err
	}
	return buf, nil
}

// widen calls read with the bytes from an offset on, and again with more of them as long as
// it met their end before it was done.
func (f *File) widen(offset int64, read func(p *parser)) {
	n := int64(firstWindow)
	if f.mem != nil {
		n = f.size
	}
	for {
		buf, err := f.window(offset, n)
		if err != nil || len(buf) == 0 {
			return
		}
		p := f.parser(buf, 0)
		read(p)
		if f.pay(p) != nil {
			return
		}
		if !p.ended || offset+n >= f.size {
			return
		}
		n *= 8
	}
}

// parser reads from bytes of the file or of one of its streams; what it reads has to be paid for.
func (f *File) parser(buf []byte, pos int) *parser {
	return &parser{buf: buf, pos: pos, from: pos, budget: f.budget}
}

// pay is an error if the file isn't worth what the parser has read.
func (f *File) pay(p *parser) error {
	cost := costPerByte*int64(max(0, p.pos-p.from)) + costPerMember*int64(p.members)
	p.from = p.pos
	return f.budget.spend(cost)
}
