package cos

import (
	"bytes"
	"slices"
)

// found is what a look through the whole file brought to light.
type found struct {
	xref    table
	trailer *Dict
	packs   []placedStream // object streams in the order of the file
	catalog Object         // the last one in the file
	objects int
	end     bool // an end-of-file mark was seen
}

type placedStream struct {
	num int
	at  int64
}

// look goes through the whole file once and notes every object.
func (f *File) look() *found {
	if f.whole != nil {
		return f.whole.look()
	}
	f.lookOnce.Do(func() {
		f.looked = &found{trailer: &Dict{}}
		f.looked.lookThrough(f)
	})
	return f.looked
}

func (l *found) lookThrough(f *File) {
	const block, overlap = 1 << 20, 64
	at := int64(0)
	for at < f.size && f.budget.spend(block/scannedFor) == nil {
		buf, err := f.window(at, block+overlap)
		if err != nil {
			return
		}
		next := at + block
		marks := marks{buf: buf}
		for i := 0; f.Err() == nil; {
			if i = marks.next(i); i == len(buf) {
				break
			}
			after := at + int64(i) + 3
			switch {
			case bytes.HasPrefix(buf[i:], []byte("trailer")):
				after = l.noteTrailer(f, at+int64(i)+int64(len("trailer")))
			case bytes.HasPrefix(buf[i:], []byte("%%EOF")):
				l.end = true
			default:
				if back := headerBefore(buf[:i]); back >= 0 {
					after = max(after, l.noteObject(f, at+int64(back)))
				} else if i < overlap && at > 0 {
					before, _ := f.window(at-overlap, overlap+int64(i))
					if back := headerBefore(before); back >= 0 {
						after = max(after, l.noteObject(f, at-overlap+int64(back)))
					}
				}
			}
			if after >= next {
				next = after
				break
			}
			i = int(after - at)
		}
		at = next
	}
}

// marks finds what objects and trailers are told by. Where each mark stands next is remembered: looking for one
// that is far off again at every other would take time by the square of their number.
type marks struct {
	buf []byte
	at  [len(markWords)]int // where each stands next, from the last place asked for on; the end: nowhere
}

var markWords = [...]string{"obj", "trailer", "%%EOF"}

// next is where the next mark stands, from a place on; the end of the bytes if there is none.
func (m *marks) next(from int) int {
	best := len(m.buf)
	for k, word := range markWords {
		if m.at[k] < from || m.at[k] == 0 {
			m.at[k] = len(m.buf)
			if i := bytes.Index(m.buf[min(from, len(m.buf)):], []byte(word)); i >= 0 {
				m.at[k] = from + i
			}
		}
		best = min(best, m.at[k])
	}
	return best
}

// headerBefore finds where "num gen " begins that ends b; -1 if b ends otherwise.
func headerBefore(b []byte) int {
	i := len(b)
	for range 2 {
		spaces := i
		for i > 0 && class[b[i-1]] == space {
			i--
		}
		digits := i
		for i > 0 && b[i-1] >= '0' && b[i-1] <= '9' && digits-i < 10 {
			i--
		}
		if digits == i || spaces == digits && spaces != len(b) {
			return -1
		}
	}
	return i
}

// noteObject reads the object at an offset and returns where it ends.
func (l *found) noteObject(f *File, at int64) int64 {
	after := at
	// A Length that is a reference can't be followed: the table isn't known yet.
	blind := &File{src: f.src, size: f.size, mem: f.mem, budget: f.budget, cache: map[int]known{}}
	f.widen(at, func(p *parser) {
		ref, ok := p.header()
		if !ok || ref.Num > maxObjects {
			return
		}
		o := blind.body(p, at, ref)
		after = max(after, at+int64(p.pos))
		if p.ended && at+int64(len(p.buf)) < f.size {
			return
		}
		l.objects++
		l.xref.reach(ref.Num)
		l.xref[ref.Num] = entry{at: at, kind: plain, set: true}
		switch o := o.(type) {
		case *Stream:
			after = o.offset + o.length
			switch o.Dict.Get("Type") {
			case Name("XRef"):
				l.merge(o.Dict)
			case Name("ObjStm"):
				l.packs = append(l.packs, placedStream{ref.Num, at})
			}
		case *Dict:
			if isCatalog(o) {
				l.catalog = Ref{ref.Num, 0}
			}
		}
	})
	return after
}

func isCatalog(d *Dict) bool { return d.Get("Type") == Name("Catalog") && d.Get("Pages") != nil }

func (l *found) noteTrailer(f *File, at int64) int64 {
	after := at
	f.widen(at, func(p *parser) {
		if d, ok := p.object(0).(*Dict); ok {
			l.merge(d)
			after = at + int64(p.pos)
		}
	})
	return after
}

// merge lets a later trailer overrule an earlier one, key by key.
func (l *found) merge(d *Dict) {
	for _, key := range []Name{"Root", "Encrypt", "ID", "Info"} {
		if v := d.Get(key); v != nil {
			l.trailer.Set(key, v)
		}
	}
}

// addPacked adds what lies in object streams. An object that stands in the
// file after the stream is newer and stays.
func (f *File) addPacked(l *found) {
	for _, pack := range l.packs {
		s, ok := f.read(pack.num).object.(*Stream)
		if !ok {
			continue
		}
		os := f.index(s)
		if os == nil {
			continue
		}
		for i, place := range os.places { // of several of one number the last counts, as in the file itself
			num := place.num
			if place.at < 0 || num < 0 || num > maxObjects {
				continue
			}
			f.xref.reach(num)
			if e := f.xref[num]; e.kind == plain && e.at > pack.at {
				continue
			}
			f.xref[num] = entry{at: int64(pack.num), kind: packed, set: true, index: int32(i)}
			p := &parser{buf: os.data, pos: place.at}
			if d, ok := p.object(0).(*Dict); ok && isCatalog(d) {
				l.catalog = Ref{num, 0}
			}
		}
	}
	// A catalog that the trailer doesn't name is better than none.
	if l.catalog != nil && f.Dict(f.Dict(f.Trailer.Get("Root")).Get("Pages")) == nil {
		f.Trailer.Set("Root", l.catalog)
	}
}

// lookInPacks looks for an object in all object streams of the file.
func (f *File) lookInPacks(num int) (known, bool) {
	f.packOnce.Do(func() {
		looked := *f.look()
		g := f.withoutPacks()
		g.xref, g.Trailer = slices.Clone(looked.xref), &Dict{}
		g.addPacked(&looked)
		f.packs = g
	})
	if g := f.packs; num < len(g.xref) && g.xref[num].kind == packed {
		return g.unpack(g.xref[num], num)
	}
	return known{}, false
}
