package cos

import "bytes"

// EachOperator goes through a content stream (ISO 32000-1, 7.8.2) and shows each operator with the operands
// before it, which are good during the call only. Pictures that stand in the stream are passed over.
func EachOperator(content []byte, see func(operator string, operands []Object)) {
	const most = 1 << 10 // operands of one operator; what is more is damage
	p := &parser{buf: content}
	var operands []Object
	for {
		o := p.object(0)
		name, ok := o.(keyword)
		switch {
		case !ok && len(operands) < most:
			operands = append(operands, o)
		case !ok:
		case name == "":
			return
		case name == "ID":
			// The data of a picture end with EI on its own.
			for {
				i := bytes.Index(p.buf[p.pos:], []byte("EI"))
				if i < 0 {
					return
				}
				p.pos += i + len("EI")
				before, after := p.buf[p.pos-3], byte(' ')
				if p.pos < len(p.buf) {
					after = p.buf[p.pos]
				}
				if class[before] == space && class[after] == space {
					break
				}
			}
			operands = operands[:0]
		default:
			see(string(name), operands)
			operands = operands[:0]
		}
	}
}

// Mentioned are the names that stand in a content stream; nil: too many to be told apart. It looks for
// slashes and nothing else: what merely looks like a name, in a string or in a picture's bytes, is one too
// many at worst; a name can't be missed.
func Mentioned(content []byte) map[Name]bool {
	const most = 1 << 17
	p, names := &parser{buf: content}, map[Name]bool{}
	for {
		i := bytes.IndexByte(content[p.pos:], '/')
		if i < 0 {
			return names
		}
		if len(names) > most {
			return nil
		}
		p.pos += i + 1
		if b := p.run(); !names[Name(b)] {
			names[unescape(b)] = true
		}
	}
}
