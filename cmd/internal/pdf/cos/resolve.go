package cos

import (
	"bytes"
	"strconv"
)

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
