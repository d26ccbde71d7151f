package cos

import "slices"

// Peek reads some entries of a dictionary without making the rest of it: what
// is not printed, such as most links, is told apart cheaply. Entries that are missing are nil.
func (f *File) Peek(o Object, keys ...Name) []Object {
	values := make([]Object, len(keys))
	ref, ok := o.(Ref)
	if !ok || !f.peekable(ref.Num) {
		return valuesOf(f.Dict(o), keys)
	}
	switch e := f.xref[ref.Num]; e.kind {
	case plain:
		ok = false
		f.widen(e.at, func(p *parser) {
			head, found := p.header()
			ok = found && head.Num == ref.Num && p.peek(keys, values)
		})
	case packed:
		var p *parser
		if p, ok = f.packedAt(e, ref.Num); ok {
			ok = p.peek(keys, values)
			_ = f.pay(p) // over it, the long way below gives nothing
		}
	}
	if !ok { // damage: the long way knows what to do about it
		return valuesOf(f.Dict(o), keys)
	}
	return values
}

func valuesOf(d *Dict, keys []Name) (values []Object) {
	for _, k := range keys {
		values = append(values, d.Get(k))
	}
	return values
}

// peekable tells whether an object is in the table and hasn't been read before.
func (f *File) peekable(num int) bool {
	f.mu.Lock()
	defer f.mu.Unlock()
	_, known := f.cache[num]
	return !known && f.Has(num)
}

// peek reads the values of some keys of the dictionary that comes next.
func (p *parser) peek(keys []Name, values []Object) bool {
	p.skip()
	if p.pos+1 >= len(p.buf) || p.buf[p.pos] != '<' || p.buf[p.pos+1] != '<' {
		return false
	}
	p.pos += 2
	for {
		p.skip()
		if p.pos+1 >= len(p.buf) {
			return false
		}
		if p.buf[p.pos] == '>' {
			return p.buf[p.pos+1] == '>'
		}
		if p.buf[p.pos] != '/' {
			return false
		}
		p.pos++
		key := p.run()
		wanted := slices.Index(keys, Name(key))
		p.dry = wanted < 0
		value := p.object(1)
		p.dry = false
		if _, broken := value.(keyword); broken {
			return false
		}
		if wanted >= 0 {
			values[wanted] = value
		}
	}
}
