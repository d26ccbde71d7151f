package cos

// unpredict undoes a predictor (ISO 32000-1, 7.4.4.4); a last row that is cut short is kept.
func (f *File) unpredict(data []byte, parms *Dict) []byte {
	number := func(key Name, missing int) int {
		if v := f.Number(parms.Get(key), 0); v >= 1 && v < 1<<24 {
			return int(v)
		}
		return missing
	}
	predictor := number("Predictor", 1)
	if predictor < 2 {
		return data
	}
	colours, bits, columns := number("Colors", 1), number("BitsPerComponent", 8), number("Columns", 1)
	if colours > 1<<10 || bits > 32 {
		return data
	}
	row := min((colours*bits*columns+7)/8, max(1, len(data)))
	if predictor == 2 {
		return untiff(data, row, colours, bits)
	}
	return unpng(data, row, max(1, (colours*bits+7)/8))
}

func untiff(data []byte, row, colours, bits int) []byte {
	out := append([]byte(nil), data...)
	for start := 0; start < len(out); start += row {
		r := out[start:min(start+row, len(out))]
		switch bits {
		case 16:
			for i := 2 * colours; i+1 < len(r); i += 2 {
				v := int(r[i])<<8 + int(r[i+1]) + int(r[i-2*colours])<<8 + int(r[i-2*colours+1])
				r[i], r[i+1] = byte(v>>8), byte(v)
			}
		default: // samples of a byte at most, of one or more colours
			at := func(i int) (int, uint) { return i * bits / 8, uint(8 - bits - i*bits%8) }
			mask := byte(1<<bits - 1)
			for i := colours; (i+1)*bits <= len(r)*8; i++ {
				b, s := at(i)
				pb, ps := at(i - colours)
				v := (r[b]>>s + r[pb]>>ps) & mask
				r[b] = r[b]&^(mask<<s) | v<<s
			}
		}
	}
	return out
}

func unpng(data []byte, row, pixel int) []byte {
	out := make([]byte, 0, len(data))
	before, now := make([]byte, pixel+row), make([]byte, pixel+row) // with a pixel of nothing at the left
	for len(data) > 1 {
		kind := data[0]
		n := copy(now[pixel:], data[1:])
		data = data[1+n:]
		r := now[:pixel+n]
		switch kind {
		case 1:
			for i := pixel; i < len(r); i++ {
				r[i] += r[i-pixel]
			}
		case 2:
			for i := pixel; i < len(r); i++ {
				r[i] += before[i]
			}
		case 3:
			for i := pixel; i < len(r); i++ {
				r[i] += byte((int(r[i-pixel]) + int(before[i])) / 2)
			}
		case 4:
			for i := pixel; i < len(r); i++ {
				r[i] += paeth(r[i-pixel], before[i], before[i-pixel])
			}
		}
		out = append(out, r[pixel:]...)
		before, now = now, before
	}
	return out
}

func paeth(a, b, c byte) byte {
	distance := func(v byte) int {
		d := int(a) + int(b) - int(c) - int(v)
		return max(d, -d)
	}
	pa, pb, pc := distance(a), distance(b), distance(c)
	if pa <= pb && pa <= pc {
		return a
	}
	if pb <= pc {
		return b
	}
	return c
}
