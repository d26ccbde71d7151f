package cos

import "strings"

// literal reads a string after its bracket (ISO 32000-1, 7.3.4.2).
func (p *parser) literal() String {
	var out []byte
	for depth := 1; p.pos < len(p.buf); p.pos++ {
		c := p.buf[p.pos]
		switch c {
		case '(':
			depth++
		case ')':
			depth--
			if depth == 0 {
				p.pos++
				return String(out)
			}
		case '\r': // any end of line is one line feed
			if p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '\n' {
				p.pos++
			}
			c = '\n'
		case '\\':
			var ok bool
			if c, ok = p.escape(); !ok {
				continue
			}
		}
		if !p.dry {
			out = append(out, c)
		}
	}
	p.ended = true
	return String(out)
}

// escape reads what follows a backslash and leaves pos on its last byte; not
// ok means that it stands for nothing.
func (p *parser) escape() (byte, bool) {
	if p.pos+1 >= len(p.buf) {
		p.ended = true
		return 0, false
	}
	p.pos++
	c := p.buf[p.pos]
	if i := strings.IndexByte("nrtbf", c); i >= 0 {
		return "\n\r\t\b\f"[i], true
	}
	switch c {
	case '\n':
		return 0, false
	case '\r':
		if p.pos+1 < len(p.buf) && p.buf[p.pos+1] == '\n' {
			p.pos++
		}
		return 0, false
	}
	if c < '0' || c > '7' {
		return c, true
	}
	v := int(c - '0')
	for range 2 {
		if p.pos+1 < len(p.buf) && p.buf[p.pos+1] >= '0' && p.buf[p.pos+1] <= '7' {
			p.pos++
			v = v*8 + int(p.buf[p.pos]-'0')
		}
	}
	return byte(v), true
}

// hex reads a string of hexadecimal digits after its bracket.
func (p *parser) hex() String {
	var out []byte
	half, high := false, byte(0)
	for p.pos < len(p.buf) {
		c := p.buf[p.pos]
		p.pos++
		if c == '>' {
			break
		}
		v, ok := hexDigit(c)
		if !ok {
			continue
		}
		if half && !p.dry {
			out = append(out, high<<4|v)
		}
		half, high = !half, v
	}
	if p.pos == len(p.buf) {
		p.ended = true
	}
	if half {
		out = append(out, high<<4)
	}
	return String(out)
}

func hexDigit(c byte) (byte, bool) {
	v := strings.IndexByte("0123456789abcdef", c)
	if c >= 'A' && c <= 'F' {
		v = int(c-'A') + 10
	}
	return byte(v), v >= 0
}
