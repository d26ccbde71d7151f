package cos

// objectStream is an unpacked object stream (ISO 32000-1, 7.5.7).
type objectStream struct {
	data   []byte
	places []place     // in the order of the stream
	first  map[int]int // the first of the places of an object's number
}

// place says where an object begins in the data of its stream; -1: beyond it.
type place struct{ num, at int }

// weight is about how many bytes of memory it takes.
func (os *objectStream) weight() int { return len(os.data) + costPerMember*len(os.places) }

// unpack reads an object out of an object stream.
func (f *File) unpack(e entry, num int) (known, bool) {
	p, ok := f.packedAt(e, num)
	if !ok {
		return known{}, false
	}
	o := p.object(0)
	if _, ok := o.(keyword); ok || f.pay(p) != nil {
		return known{}, true
	}
	return known{o, p.members}, true
}

// packedAt finds where an object begins in an object stream. Of several of one number
// the table says which it is.
func (f *File) packedAt(e entry, num int) (*parser, bool) {
	container := int(e.at)
	if container == num {
		return nil, false
	}
	f.mu.Lock()
	os := f.unpacked[container]
	f.mu.Unlock()
	if os == nil {
		if os = f.openObjectStream(container); os == nil {
			return nil, false
		}
		f.mu.Lock()
		if f.held += os.weight(); f.held > objStmCache {
			clear(f.unpacked)
			f.held = os.weight()
		}
		f.unpacked[container] = os
		f.mu.Unlock()
	}
	i, ok := os.first[num]
	if !ok {
		return nil, false
	}
	if int(e.index) < len(os.places) && os.places[e.index].num == num && os.places[e.index].at >= 0 {
		i = int(e.index)
	}
	return f.parser(os.data, os.places[i].at), true
}

// withoutPacks is the file without what lies in object streams. With it they are opened
// themselves: a damaged file can say that the filter of an object stream is packed in it.
func (f *File) withoutPacks() *File {
	return &File{src: f.src, size: f.size, mem: f.mem, shift: f.shift, xref: f.xref, Trailer: f.Trailer,
		crypt: f.crypt, budget: f.budget, cache: map[int]known{}, unpacked: map[int]*objectStream{}, whole: f}
}

func (f *File) openObjectStream(container int) *objectStream {
	f = f.withoutPacks()
	if container < 0 || container >= len(f.xref) || f.xref[container].kind != plain {
		return nil
	}
	s, ok := f.read(container).object.(*Stream)
	if !ok {
		return nil
	}
	return f.index(s)
}

// index unpacks an object stream and reads the numbers at its beginning.
func (f *File) index(s *Stream) *objectStream {
	data, err := f.Decode(s, unpackLimit)
	if err != nil && len(data) == 0 {
		return nil
	}
	count, _ := f.Resolve(s.Dict.Get("N")).(Int)
	first, _ := f.Resolve(s.Dict.Get("First")).(Int)
	if first < 0 || int64(first) > int64(len(data)) {
		return nil
	}
	os := &objectStream{data: data, first: map[int]int{}}
	p := f.parser(data[:first], 0)
	for range min(int64(count), int64(len(data))) {
		num, ok1 := p.object(0).(Int)
		at, ok2 := p.object(0).(Int)
		if !ok1 || !ok2 || p.tooMany() {
			break
		}
		if at < 0 || int64(at) >= int64(len(data))-int64(first) {
			os.places = append(os.places, place{int(num), -1})
			continue
		}
		if _, twice := os.first[int(num)]; !twice {
			os.first[int(num)] = len(os.places)
		}
		os.places = append(os.places, place{int(num), int(first + at)})
	}
	if f.pay(p) != nil {
		return nil
	}
	return os
}
