package cos

import (
	"math"
	"strconv"
)

// Number writes a number with at most five decimals, which no printer can tell
// separate from the exact one.
func Number(v float64) Object {
	r := math.Round(v*1e5) / 1e5
	if r == 0 {
		r = 0 // not minus zero
	}
	if r == math.Trunc(r) && math.Abs(r) < 1e15 {
		return Int(r)
	}
	return Real(strconv.FormatFloat(r, 'f', -1, 64))
}

// Append writes an object. Each reference goes through number, which says what it is
// called in the new file; 0 makes it null. A stream is written as its dictionary.
func Append(b []byte, o Object, number func(Ref) int) []byte {
	switch v := o.(type) {
	case nil:
		return append(separate(b), "null"...)
	case bool:
		return strconv.AppendBool(separate(b), v)
	case Int:
		return strconv.AppendInt(separate(b), int64(v), 10)
	case Real:
		return append(separate(b), v.strictText()...)
	case Name:
		return appendName(b, v)
	case String:
		return appendString(b, v)
	case Ref:
		n := number(v)
		if n == 0 {
			return append(separate(b), "null"...)
		}
		return append(strconv.AppendInt(separate(b), int64(n), 10), " 0 R"...)
	case Array:
		b = append(b, '[')
		for _, e := range v {
			b = Append(b, e, number)
		}
		return append(b, ']')
	case *Dict:
		b = append(b, "<<"...)
		for _, e := range v.Entries {
			b = Append(appendName(b, e.Key), e.Value, number)
		}
		return append(b, ">>"...)
	case *Stream:
		return Append(b, v.Dict, number)
	}
	return append(separate(b), "null"...)
}

// separate separates what follows from a token that would swallow it.
func separate(b []byte) []byte {
	if n := len(b); n > 0 && class[b[n-1]] == regular {
		return append(b, ' ')
	}
	return b
}

// strictText is a number as the standard wants it (ISO 32000-1, 7.3.3).
func (r Real) strictText() string {
	points := 0
	for i := range len(r) {
		switch c := r[i]; {
		case c == '.':
			points++
		case (c == '-' || c == '+') && i > 0, c != '-' && c != '+' && (c < '0' || c > '9'):
			points = 2
		}
	}
	if points > 1 {
		return strconv.FormatFloat(r.Float(), 'f', -1, 64)
	}
	if r == "." || r == "-." || r == "+." {
		return "0"
	}
	return string(r)
}

func appendName(b []byte, n Name) []byte {
	const digits = "0123456789abcdef"
	b = append(b, '/')
	for i := range len(n) {
		c := n[i]
		if c <= ' ' || c > '~' || c == '#' || class[c] != regular {
			b = append(b, '#', digits[c>>4], digits[c&15])
		} else {
			b = append(b, c)
		}
	}
	if len(n) == 0 {
		b = append(b, ' ')
	}
	return b
}

func appendString(b []byte, s String) []byte {
	b = append(b, '(')
	for i := range len(s) {
		switch c := s[i]; c {
		case '(', ')', '\\':
			b = append(b, '\\', c)
		case '\r':
			b = append(b, `\r`...)
		default:
			b = append(b, c)
		}
	}
	return append(b, ')')
}
