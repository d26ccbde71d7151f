package cos

import (
	"bytes"
	"context"
	"errors"
	"io"
	"strconv"
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

// forget empties the caches; the lock is held.
func (f *File) forget() {
	clear(f.cache)
	clear(f.unpacked)
	f.weight, f.held = 0, 0
}

// Resolve follows references until something else is reached; what is missing is nil.
func (f *File) Resolve(o Object) Object {
	for range maxLinks {
		ref, ok := o.(Ref)
		if !ok {
			return o
		}
		o = f.Get(ref.Num)
	}
	return nil
}

// Dict is the dictionary that something leads to, nil if it is none.
func (f *File) Dict(o Object) *Dict { return as[*Dict](f.Resolve(o)) }

// Stream is the stream that something leads to, nil if it is none.
func (f *File) Stream(o Object) *Stream { return as[*Stream](f.Resolve(o)) }

// Name is the name that something leads to, empty if it is none.
func (f *File) Name(o Object) Name { return as[Name](f.Resolve(o)) }

// Text is the bytes of the string that something leads to, empty if it is none.
func (f *File) Text(o Object) String { return as[String](f.Resolve(o)) }

// Array is the array that something leads to, nil if it is none.
func (f *File) Array(o Object) Array { return as[Array](f.Resolve(o)) }

// List is that array, or what is no array as the only one of a list.
func (f *File) List(o Object) Array {
	if a, ok := f.Resolve(o).(Array); ok {
		return a
	}
	return Array{o}
}

func as[T any](o Object) T {
	v, _ := o.(T)
	return v
}

// Number is the number that something leads to, another if it is none.
func (f *File) Number(o Object, otherwise float64) float64 {
	if v, ok := Float(f.Resolve(o)); ok {
		return v
	}
	return otherwise
}

// Has tells whether the table knows of an object. What it knows of can still be damaged.
func (f *File) Has(num int) bool {
	return num >= 0 && num < len(f.xref) && f.xref[num].kind != free
}

// Objects is one more than the highest number of an object.
func (f *File) Objects() int { return len(f.xref) }

// Get reads the indirect object of a number; what is missing or free is nil.
func (f *File) Get(num int) Object {
	f.mu.Lock()
	k, ok := f.cache[num]
	f.mu.Unlock()
	if f.budget.spend(costPerGet+int64(k.members/seenPerCost)) != nil {
		return nil
	}
	if ok {
		return k.object
	}
	k = f.read(num)
	if f.Err() != nil {
		return nil
	}
	f.mu.Lock()
	if f.weight += k.members; len(f.cache) >= cacheLimit || f.weight > cacheWeight {
		clear(f.cache)
		f.weight = k.members
	}
	f.cache[num] = k
	f.mu.Unlock()
	return k.object
}

func (f *File) read(num int) known {
	if num < 0 || num >= len(f.xref) {
		return known{}
	}
	switch e := f.xref[num]; e.kind {
	case plain:
		if k, ok := f.parseAt(e.at, num); ok {
			return k
		}
		return f.lookFor(num)
	case packed:
		if f.whole != nil {
			return known{}
		}
		if k, ok := f.unpack(e, num); ok {
			return k
		}
		return f.lookFor(num)
	}
	return known{}
}

// lookFor finds an object that isn't where the table says.
func (f *File) lookFor(num int) known {
	looked := f.look()
	var k known
	ok := false
	switch {
	case num < len(looked.xref) && looked.xref[num].kind == plain:
		k, ok = f.parseAt(looked.xref[num].at, num)
	case f.whole == nil && (f.crypt != nil || !f.Encrypted()):
		k, ok = f.lookInPacks(num)
	}
	if ok {
		f.Warn("object " + strconv.Itoa(num) + " is not where the file's index says; it was found by searching the file")
	}
	return k
}

// parseAt reads the object that starts at an offset, which must bear the number.
func (f *File) parseAt(offset int64, num int) (k known, ok bool) {
	f.widen(offset, func(p *parser) {
		ref, found := p.header()
		if ok = found && ref.Num == num; ok {
			k = known{f.body(p, offset, ref), p.members}
		}
	})
	return k, ok
}

// body reads what follows "num gen obj".
func (f *File) body(p *parser, offset int64, ref Ref) Object {
	if f.crypt != nil {
		p.decrypt = func(s String) String { return String(f.crypt.decrypt(f.crypt.strings, ref, []byte(s))) }
	}
	o := p.object(0)
	if _, ok := o.(keyword); ok {
		return nil
	}
	d, isDict := o.(*Dict)
	if !isDict {
		return o
	}
	p.skip()
	if !bytes.HasPrefix(p.buf[p.pos:], []byte("stream")) {
		return d
	}
	at := f.afterStream(p, d, offset)
	if at+2 >= len(p.buf) {
		p.ended = true
	}
	s := &Stream{Dict: d, Ref: ref, offset: offset + int64(at)}
	s.length = f.streamLength(d, s.offset)
	return s
}

// plainAt is the object of a number at an offset, if it is no stream; of a stream it is
// the dictionary.
func (f *File) plainAt(offset int64, num int) (o Object) {
	f.widen(offset, func(p *parser) {
		o = nil
		if ref, ok := p.header(); ok && ref.Num == num {
			o = p.object(0)
		}
	})
	return o
}
