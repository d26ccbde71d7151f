package cos

// Peek reads some entries of a dictionary without making the rest of it: what
// is not printed, such as most links, is told apart cheaply. Entries that are missing are nil.
func (f *File) Peek(o Object, keys ...Name) []Object {
	values := make([]Object, len(keys))
	ref, ok := o.(Ref)
	if !ok || !f.peekable(ref.Num) {
		if d, ok := f.Resolve(o).(*Dict); ok {
			for i, k := range keys {
				values[i] = d.Get(k)
			}
		}
		return values
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
		d, _ := f.Resolve(o).(*Dict)
		for i, k := range keys {
			values[i] = d.Get(k)
		}
	}
	return values
}

// peekable tells whether an object is in the table and hasn't been read before.
func (f *File) peekable(num int) bool {
	if num < 0 || num >= len(f.xref) {
		return false
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	_, known := f.cache[num]
	return !known
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
		wanted := -1
		for i, k := range keys {
			if string(key) == string(k) {
				wanted = i
			}
		}
		if wanted >= 0 {
			values[wanted] = p.object(1)
			if _, broken := values[wanted].(keyword); broken {
				values[wanted] = nil
				return false
			}
		} else if !p.pass() {
			return false
		}
	}
}

// pass goes over a value without making it; false if it isn't a plain one.
func (p *parser) pass() bool {
	depth := 0
	for {
		p.skip()
		if p.pos >= len(p.buf) {
			return false
		}
		c := p.buf[p.pos]
		switch {
		case c == '(':
			p.pos++
			if !p.passString() {
				return false
			}
		case c == '<' && p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '<':
			p.pos += 2
			depth++
		case c == '>' && p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '>' && depth > 0:
			p.pos += 2
			depth--
		case c == '<':
			for p.pos < len(p.buf) && p.buf[p.pos] != '>' {
				p.pos++
			}
			p.pos++
		case c == '[':
			p.pos++
			depth++
		case c == ']' && depth > 0:
			p.pos++
			depth--
		case c == '/':
			p.pos++
			p.run()
		case class[c] == regular:
			if n, ok := integer(p.run()); ok {
				p.reference(n)
			}
		default:
			return false
		}
		if depth == 0 {
			return true
		}
	}
}

func (p *parser) passString() bool {
	for depth := 1; p.pos < len(p.buf); p.pos++ {
		switch p.buf[p.pos] {
		case '\\':
			p.pos++
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				p.pos++
				return true
			}
		}
	}
	return false
}
