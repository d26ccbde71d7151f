package cos

import "bytes"

// afterStream is where in the parser's bytes, which begin at an offset of the file, the data of a stream
// begins, whose keyword comes next.
func (f *File) afterStream(p *parser, d *Dict, offset int64) int {
	at := p.pos + len("stream")
	lineEnd := func(i int) int {
		if i < len(p.buf) && p.buf[i] == '\r' {
			i++
		}
		if i < len(p.buf) && p.buf[i] == '\n' {
			i++
		}
		return i
	}
	if at >= len(p.buf) || p.buf[at] != ' ' {
		return lineEnd(at)
	}
	// A blank doesn't belong there but is seen, and so is a remark up to the end of the line. Readers
	// pass over both.
	n := bytes.IndexAny(p.buf[at:min(len(p.buf), at+maxRemark)], "\r\n")
	if n < 0 {
		p.ended = p.ended || at+maxRemark > len(p.buf)
		return at
	}
	rest := p.buf[at : at+n]
	next := lineEnd(at + n)
	if len(bytes.Trim(rest, " ")) == 0 {
		return next
	}
	for _, c := range rest {
		if c < ' ' && c != '\t' || c > '~' {
			return at
		}
	}
	if stated, ok := f.statedLength(d); ok && f.endsAt(offset+int64(at), int64(stated), "endstream") || bytes.Contains(rest, []byte("endstream")) {
		return at
	}
	return next
}

// maxRemark is how long a line behind "stream" is looked at.
const maxRemark = 256

// endsAt tells whether a word stands where a stream that starts somewhere ends after n bytes.
func (f *File) endsAt(start, n int64, word string) bool {
	if n < 0 || start+n > f.size {
		return false
	}
	tail, _ := f.window(start+n, 32)
	return bytes.HasPrefix(bytes.TrimLeft(tail, "\x00\t\n\f\r "), []byte(word))
}

// streamLength is what Length says if the stream ends there, else where it ends.
func (f *File) streamLength(d *Dict, start int64) int64 {
	stated, ok := f.statedLength(d)
	if ok && f.endsAt(start, int64(stated), "endstream") {
		return int64(stated)
	}
	n := f.findEndstream(start)
	if ok && f.endsAt(start, int64(stated), "endobj") && (n < 0 || n+2 >= int64(stated)) {
		return int64(stated) // else it is the end of the next object
	}
	if n < 0 {
		return max(0, f.size-start)
	}
	return n
}

// statedLength is what Length says. Where it refers to an object of the file it
// is read without reading streams: a damaged file can refer from the length of one to
// another, and back.
func (f *File) statedLength(d *Dict) (Int, bool) {
	o := d.Get("Length")
	for range maxLinks {
		ref, ok := o.(Ref)
		if !ok {
			n, ok := o.(Int)
			return n, ok
		}
		if ref.Num < 0 || ref.Num >= len(f.xref) {
			return 0, false
		}
		if e := f.xref[ref.Num]; e.kind == plain {
			o = f.plainAt(e.at, ref.Num)
		} else {
			o = f.Get(ref.Num)
		}
	}
	return 0, false
}

// findEndstream is the distance to the next endstream, less its end of line; -1 if there is none.
// The word can stand in the data as well, so one that looks like the end is preferred, if it is not
// far off: a file can hold thousands of streams and no such end.
func (f *File) findEndstream(start int64) int64 {
	const block, around, far = 1 << 16, 64, 8 << 10
	loose := [2]int64{-1, -1} // the first endstream and the first endobj of any kind
	beyond := f.size          // nothing is to be found from there on
	if e := f.endless.Load(); e > 0 {
		beyond = e - 1
	}
search:
	for at := start; at < beyond; at += block {
		from := max(start, at-around)
		buf, err := f.window(from, at-from+block+around)
		if err != nil {
			return -1
		}
		limit := min(len(buf), int(at-from)+block)
		for i := int(at - from); i < limit; i++ {
			j := bytes.Index(buf[i:], []byte("end"))
			if j < 0 || i+j >= limit {
				break
			}
			i += j
			kind := 0
			if !bytes.HasPrefix(buf[i:], []byte("endstream")) {
				if kind = 1; !bytes.HasPrefix(buf[i:], []byte("endobj")) {
					continue
				}
			}
			end := from + int64(i) - int64(lineBefore(buf[:i]))
			if first := max(loose[0], loose[1]); first >= 0 && end-start-first > far {
				break search
			}
			if looksLikeEnd(buf, i) {
				return end - start
			}
			if loose[kind] < 0 {
				loose[kind] = end - start
			}
		}
	}
	if loose[0] < 0 && loose[1] < 0 && start < beyond {
		f.endless.Store(start + 1)
	}
	if loose[0] >= 0 {
		return loose[0]
	}
	return loose[1]
}

// lineBefore is the length of the end of line that ends b.
func lineBefore(b []byte) int {
	switch {
	case bytes.HasSuffix(b, []byte("\r\n")):
		return 2
	case bytes.HasSuffix(b, []byte("\n")), bytes.HasSuffix(b, []byte("\r")):
		return 1
	}
	return 0
}

// looksLikeEnd tells whether the endstream or endobj at a place is more than a
// word in the data: it stands on a line of its own, or what can follow a stream follows.
func looksLikeEnd(buf []byte, i int) bool {
	opens := lineBefore(buf[:i]) > 0
	word, isEndobj := bytes.CutPrefix(buf[i:], []byte("endobj"))
	if isEndobj {
		return opens && (len(word) == 0 || class[word[0]] == space)
	}
	rest := word[len("endstream"):]
	closes := len(rest) == 0 || rest[0] == '\n' || rest[0] == '\r'
	apart := i == 0 || class[buf[i-1]] == space || buf[i-1] == '>'
	if closes && apart || opens && class[rest[0]] == space {
		return true
	}
	p := &parser{buf: bytes.TrimLeft(rest[:min(len(rest), 64)], "\x00\t\n\f\r ")}
	if bytes.HasPrefix(p.buf, []byte("endobj")) {
		return true
	}
	first := p.object(0)
	if _, ok := first.(Int); ok {
		p.object(0)
		return closes && p.object(0) == keyword("obj")
	}
	return closes && (first == keyword("xref") || first == keyword("trailer") || first == keyword("startxref"))
}
