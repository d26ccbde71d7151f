package cos

import "bytes"

// Kinds of an entry of the cross-reference table.
const (
	free uint8 = iota
	plain
	packed
)

// entry says where an object is: its offset, or the number of its object stream.
type entry struct {
	at    int64
	index int32 // place in the object stream
	kind  uint8
	set   bool // a newer section has spoken; what an older one says does not count
}

type table []entry

// reach makes room for a number.
func (t *table) reach(num int) {
	if more := num + 1 - len(*t); more > 0 {
		*t = append(*t, make([]entry, more)...)
	}
}

// put records an entry unless a newer section has one.
func (t *table) put(num int64, e entry) {
	if num < 0 || num > maxObjects {
		return
	}
	t.reach(int(num))
	if !(*t)[num].set {
		e.set = true
		(*t)[num] = e
	}
}

// followXref reads the sections from the newest to the oldest.
func (f *File) followXref() bool {
	tail, err := f.window(max(0, f.size-4096), 4096)
	if err != nil {
		return false
	}
	i := bytes.LastIndex(tail, []byte("startxref"))
	if i < 0 {
		return false
	}
	p := &parser{buf: tail, pos: i + len("startxref")}
	start, ok := p.object(0).(Int)
	if !ok {
		return false
	}
	seen := map[int64]bool{}
	for at := int64(start); ; {
		if seen[at] {
			return true
		}
		seen[at] = true
		d := f.sectionAt(at, f.section)
		if d == nil {
			return false
		}
		if f.Trailer == nil {
			f.Trailer = d
		}
		prev := f.Number(d.Get("Prev"), 0)
		if prev <= 0 {
			return f.Trailer.Get("Root") != nil
		}
		at = int64(prev)
	}
}

// sectionAt reads a section whose offset may leave out what stands before the header, and returns its
// trailer; nil if there is none.
func (f *File) sectionAt(at int64, read func(p *parser, offset int64) *Dict) (trailer *Dict) {
	for _, offset := range []int64{at + f.shift, at} {
		f.widen(offset, func(p *parser) { trailer = read(p, offset) })
		if trailer != nil || f.shift == 0 {
			break
		}
	}
	return trailer
}

// section reads a table or a stream.
func (f *File) section(p *parser, offset int64) *Dict {
	p.skip()
	if bytes.HasPrefix(p.buf[p.pos:], []byte("xref")) {
		p.pos += len("xref")
		return f.tableSection(p)
	}
	return f.streamSection(p, offset)
}

// row is an entry of a table and the number of its object.
type row struct {
	num int64
	entry
}

func (f *File) tableSection(p *parser) *Dict {
	var rows []row
	for {
		switch first := p.object(0).(type) {
		case Int:
			count, ok := p.object(0).(Int)
			if !ok || count < 0 || int64(count) > int64(len(p.buf)) {
				return nil
			}
			for i := range int64(count) {
				e, ok := p.tableEntry(f.shift)
				if !ok || len(rows) > maxObjects {
					break
				}
				rows = append(rows, row{int64(first) + i, e})
			}
		case keyword:
			if first != "trailer" {
				return nil
			}
			d, _ := p.object(0).(*Dict)
			if d == nil || p.ended {
				return d
			}
			hybrid, isHybrid := d.Get("XRefStm").(Int)
			if isHybrid {
				// Objects that are free in the table may be in the stream, hidden from old
				// readers (ISO 32000-1, 7.5.8.4).
				for _, r := range rows {
					if r.kind != free {
						f.xref.put(r.num, r.entry)
					}
				}
				f.sectionAt(int64(hybrid), f.streamSection)
			}
			for _, r := range rows {
				f.xref.put(r.num, r.entry)
			}
			return d
		default:
			return nil
		}
	}
}

// tableEntry reads "0000000016 00000 n"; pos doesn't move if there is none.
func (p *parser) tableEntry(shift int64) (e entry, ok bool) {
	from := p.pos
	number := func() (n int64, ok bool) {
		p.skip()
		for p.pos < len(p.buf) && p.buf[p.pos] >= '0' && p.buf[p.pos] <= '9' {
			n, ok = n*10+int64(p.buf[p.pos]-'0'), n < 1<<50
			p.pos++
		}
		return n, ok
	}
	at, ok1 := number()
	_, ok2 := number()
	p.skip()
	if !ok1 || !ok2 || p.pos >= len(p.buf) || p.buf[p.pos] != 'n' && p.buf[p.pos] != 'f' {
		p.pos = from
		return entry{}, false
	}
	if p.buf[p.pos] == 'n' && at > 0 {
		e.kind = plain
	}
	e.at = at + shift
	p.pos++
	return e, true
}

func (f *File) streamSection(p *parser, offset int64) *Dict {
	ref, ok := p.header()
	if !ok {
		return nil
	}
	s, ok := f.body(p, offset, ref).(*Stream)
	if !ok || p.ended || s.Dict.Get("W") == nil {
		return nil
	}
	s.plain = true
	if !f.packedTable(s, &f.xref) {
		return nil
	}
	return s.Dict
}

// packedTable reads the entries of a cross-reference stream (ISO 32000-1, 7.5.8).
func (f *File) packedTable(s *Stream, t *table) bool {
	data, err := f.Decode(s, unpackLimit)
	if err != nil && len(data) == 0 {
		return false
	}
	w, _ := s.Dict.Get("W").(Array)
	if len(w) < 3 {
		return false
	}
	var width [3]int
	for i := range width {
		n, _ := w[i].(Int)
		if n < 0 || n > 8 {
			return false
		}
		width[i] = int(n)
	}
	total := width[0] + width[1] + width[2]
	if total == 0 {
		return false
	}
	size, _ := Float(s.Dict.Get("Size"))
	index := f.Array(s.Dict.Get("Index"))
	if len(index) < 2 {
		index = Array{Int(0), Int(int64(size))}
	}
	for i := 0; i+1 < len(index); i += 2 {
		first, _ := index[i].(Int)
		count, _ := index[i+1].(Int)
		for j := int64(0); j < int64(count) && len(data) >= total; j++ {
			kind := int64(1)
			if width[0] > 0 {
				kind = bigEndian(data[:width[0]])
			}
			at := bigEndian(data[width[0] : width[0]+width[1]])
			last := bigEndian(data[width[0]+width[1] : total])
			data = data[total:]
			switch kind {
			case 0:
				t.put(int64(first)+j, entry{kind: free})
			case 1:
				t.put(int64(first)+j, entry{at: at + f.shift, kind: plain})
			case 2:
				t.put(int64(first)+j, entry{at: at, kind: packed, index: int32(max(0, min(last, maxObjects)))})
			}
		}
	}
	return true
}

func bigEndian(b []byte) (n int64) {
	for _, c := range b {
		n = n<<8 | int64(c)
	}
	return n
}
