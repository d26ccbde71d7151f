package cos

import (
	"bytes"
	"strconv"
	"strings"
)

// keyword is a token that is no object: obj, R, stream, endobj, ] and the like.
type keyword string

// maxDepth is how deeply arrays and dictionaries may nest before they are taken for an attack.
const maxDepth = 256

// parser reads objects from bytes.
type parser struct {
	buf     []byte
	pos     int
	ended   bool // the end of buf was met: with more bytes the outcome might differ
	decrypt func(String) String
	dry     bool // objects are gone over and come out as nil, which takes no memory

	from    int     // what was read before has been paid for
	members int     // values of arrays and dictionaries that were read
	budget  *budget // ended by an object of too many; nil: none
}

const (
	regular = iota
	space
	delimiter
)

var class = func() (c [256]byte) {
	for _, b := range []byte("\x00\t\n\f\r ") {
		c[b] = space
	}
	for _, b := range []byte("()<>[]{}/%") {
		c[b] = delimiter
	}
	return c
}()

func (p *parser) skip() {
	for p.pos < len(p.buf) {
		switch c := p.buf[p.pos]; {
		case class[c] == space:
			p.pos++
		case c == '%':
			for p.pos < len(p.buf) && p.buf[p.pos] != '\n' && p.buf[p.pos] != '\r' {
				p.pos++
			}
		default:
			return
		}
	}
	p.ended = true
}

// header reads "num gen obj", also where no space follows it.
func (p *parser) header() (ref Ref, ok bool) {
	var numbers [2]int
	for i := range numbers {
		p.skip()
		from := p.pos
		for p.pos < len(p.buf) && p.buf[p.pos] >= '0' && p.buf[p.pos] <= '9' && p.pos-from < 10 {
			numbers[i] = 10*numbers[i] + int(p.buf[p.pos]-'0')
			p.pos++
		}
		if p.pos == from {
			return Ref{}, false
		}
	}
	p.skip()
	rest := p.buf[p.pos:]
	p.ended = p.ended || len(rest) < len("obj")
	if !bytes.HasPrefix(rest, []byte("obj")) {
		return Ref{}, false
	}
	p.pos += len("obj")
	return Ref{numbers[0], numbers[1]}, true
}

// object reads the next object or keyword; at the end it is keyword("").
func (p *parser) object(depth int) Object {
	p.skip()
	if p.pos >= len(p.buf) {
		return keyword("")
	}
	switch c := p.buf[p.pos]; c {
	case '/':
		p.pos++
		b := p.run()
		if p.dry {
			return nil
		}
		if known, ok := common[string(b)]; ok {
			return known
		}
		return unescape(b)
	case '(':
		p.pos++
		return p.crypt(p.literal())
	case '[':
		p.pos++
		return p.array(depth)
	case '<':
		if p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '<' {
			p.pos += 2
			return p.dict(depth)
		}
		p.pos++
		return p.crypt(p.hex())
	case '>':
		if p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '>' {
			p.pos += 2
			return keyword(">>")
		}
		p.pos++
		return keyword(">")
	case ')', ']', '{', '}':
		p.pos++
		return brackets[c]
	}
	return p.plain()
}

func (p *parser) crypt(s String) Object {
	switch {
	case p.dry:
		return nil
	case p.decrypt != nil:
		return p.decrypt(s)
	}
	return s
}

// run is the stretch of regular characters from here on.
func (p *parser) run() []byte {
	start := p.pos
	for p.pos < len(p.buf) && class[p.buf[p.pos]] == regular {
		p.pos++
	}
	if p.pos == len(p.buf) {
		p.ended = true
	}
	return p.buf[start:p.pos]
}

func (p *parser) plain() Object {
	b := p.run()
	if n, ok := integer(b); ok {
		ref, ok := p.reference(n)
		switch {
		case p.dry:
			return nil
		case ok:
			return ref
		}
		return Int(n)
	}
	switch string(b) {
	case "true":
		return true
	case "false":
		return false
	case "null":
		return nil
	}
	switch {
	case !number(b):
		return keyword(b)
	case p.dry:
		return nil
	}
	return Real(b)
}

// reference looks whether "gen R" follows a number.
func (p *parser) reference(num int64) (Ref, bool) {
	if num < 0 || num > maxObjects {
		return Ref{}, false
	}
	i, b := p.pos, p.buf
	from := i
	for i < len(b) && class[b[i]] == space {
		i++
	}
	if i == from && i < len(b) {
		return Ref{}, false
	}
	gen, digits := 0, 0
	for i < len(b) && b[i] >= '0' && b[i] <= '9' && digits < 6 {
		gen = gen*10 + int(b[i]-'0')
		i++
		digits++
	}
	if digits == 0 && i < len(b) {
		return Ref{}, false
	}
	from = i
	for i < len(b) && class[b[i]] == space {
		i++
	}
	if i >= len(b) {
		p.ended = true
		return Ref{}, false
	}
	if i == from || b[i] != 'R' {
		return Ref{}, false
	}
	if i+1 < len(b) && class[b[i+1]] == regular {
		return Ref{}, false
	}
	p.pos = i + 1
	return Ref{int(num), gen}, true
}

func integer(b []byte) (int64, bool) {
	if len(b) == 0 || len(b) > 18 {
		return 0, false
	}
	i, negative := 0, false
	if b[0] == '-' || b[0] == '+' {
		negative = b[0] == '-'
		i = 1
	}
	if i == len(b) {
		return 0, false
	}
	var n int64
	for ; i < len(b); i++ {
		if b[i] < '0' || b[i] > '9' {
			return 0, false
		}
		n = n*10 + int64(b[i]-'0')
	}
	if negative {
		n = -n
	}
	return n, true
}

// number tells whether b would be read as some number.
func number(b []byte) bool {
	digits := 0
	for _, c := range b {
		switch {
		case c >= '0' && c <= '9':
			digits++
		case c != '.' && c != '-' && c != '+':
			return false
		}
	}
	return digits > 0 || len(b) > 0 && b[0] == '.'
}

// common are names that most files are full of, so that they needn't be made again and again.
var common = func() map[string]Object {
	m := map[string]Object{}
	for _, n := range strings.Fields(`Type Page Pages Parent MediaBox CropBox Rotate Resources Contents Annots Annot Subtype
		Link Rect Border A S D URI GoTo Dest Font XObject ProcSet PDF Text ImageB ImageC ImageI ExtGState ColorSpace
		Pattern Shading Properties Filter FlateDecode DCTDecode DecodeParms Length Width Height BitsPerComponent Image
		Form BBox Matrix Group DeviceRGB DeviceGray DeviceCMYK ICCBased Indexed N Type1 TrueType Type0 Type3 BaseFont
		FontDescriptor FirstChar LastChar Widths Encoding Differences ToUnicode FontName FontFile FontFile2 FontFile3
		Flags FontBBox ItalicAngle Ascent Descent CapHeight XHeight StemV CharSet W H F P AP XYZ Fit FitH Kids Count
		Transparency CS I StructParents Tabs R C BS ca CA BM SMask Normal WinAnsiEncoding MacRomanEncoding`) {
		m[n] = Name(n)
	}
	return m
}()

// unescape resolves the escapes of a name.
func unescape(b []byte) Name {
	if bytes.IndexByte(b, '#') < 0 {
		return Name(b)
	}
	out := make([]byte, 0, len(b))
	for i := 0; i < len(b); i++ {
		if b[i] == '#' && i+2 < len(b) {
			if v, err := strconv.ParseUint(string(b[i+1:i+3]), 16, 8); err == nil {
				out = append(out, byte(v))
				i += 2
				continue
			}
		}
		out = append(out, b[i])
	}
	return Name(out)
}

// ends tells whether a keyword ends a broken array or dictionary.
func (k keyword) ends() bool {
	return k == "" || k == "endobj" || k == "stream" || k == "endstream" || k == "obj" || k == "xref" || k == "trailer"
}

// brackets are the keywords of one delimiter, made once.
var brackets = [256]Object{')': keyword(")"), ']': keyword("]"), '{': keyword("{"), '}': keyword("}")}

// usual is how many members most arrays and dictionaries have at most. So many
// are gathered on the stack; what is kept is exactly as long as it has to be.
const usual = 8

// tooMany counts one more member, and ends the reading of a file at one that no sound one has.
func (p *parser) tooMany() bool {
	if p.members++; p.members <= maxMembers {
		return false
	}
	p.pos = len(p.buf)
	if p.budget != nil {
		p.budget.over.Store(true)
	}
	return true
}

func (p *parser) array(depth int) Object {
	var few [usual]Object
	a := few[:0]
	for depth < maxDepth && !p.tooMany() {
		from := p.pos
		o := p.object(depth + 1)
		if k, ok := o.(keyword); ok {
			if k == "]" {
				break
			}
			if k.ends() || k == ">>" {
				p.pos = from
				break
			}
			continue
		}
		if !p.dry {
			a = append(a, o)
		}
	}
	if p.dry {
		return nil
	}
	return Array(append(make([]Object, 0, len(a)), a...))
}

func (p *parser) dict(depth int) Object {
	var few [usual]Entry
	entries := few[:0]
reading:
	for depth < maxDepth && !p.tooMany() {
		from := p.pos
		switch key := p.object(depth + 1).(type) {
		case keyword:
			if key == ">>" {
				break reading
			}
			if key.ends() {
				p.pos = from
				break reading
			}
		case *Dict: // opened twice: readers pass over the second bracket
			entries = append(entries, key.Entries...)
		case Name:
			from = p.pos
			value := p.object(depth + 1)
			if k, ok := value.(keyword); ok {
				if k == ">>" {
					break reading
				}
				if k.ends() {
					p.pos = from
					break reading
				}
				continue
			}
			if value != nil {
				entries = append(entries, Entry{key, value})
			}
		}
	}
	if p.dry {
		return nil
	}
	d := &Dict{Entries: append(make([]Entry, 0, len(entries)), entries...)}
	d.dropDoubles()
	return d
}
