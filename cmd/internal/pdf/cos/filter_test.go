package cos

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"errors"
	"testing"
)

func zipped(b []byte) []byte {
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	z.Write(b)
	z.Close()
	return out.Bytes()
}

func unhex(t *testing.T, s string) []byte {
	t.Helper()
	b, err := hex.DecodeString(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestDecode(t *testing.T) {
	text := []byte("the keeper of the light keeps the log of the light")
	filter := func(names ...Object) *Dict { return NewDict("Filter", Array(names)) }
	predicted := func(parms *Dict) *Dict {
		return NewDict("Filter", "FlateDecode", "DecodeParms", parms)
	}
	for _, c := range []struct {
		name string
		dict *Dict
		data []byte
		want string
	}{
		{"none", &Dict{}, text, string(text)},
		{"flate", filter(Name("FlateDecode")), zipped(text), string(text)},
		{"flate, short name", filter(Name("Fl")), zipped(text), string(text)},
		// ISO 32000-1, 7.4.4.2, example: 45 45 45 45 45 65 45 45 45 66
		{"lzw", filter(Name("LZWDecode")), unhex(t, "800B6050220C0C8501"), "-----A---B"},
		{"hex", filter(Name("ASCIIHexDecode")), []byte("74 68 6 5>ignored"), "the"},
		// RFC 1924's neighbour in PDF: "Man " is 9jqo^ (from memory, Adobe's ASCII85)
		{"ascii85", filter(Name("ASCII85Decode")), []byte("<~9jqo^ z\n9jqo~>"), "Man \x00\x00\x00\x00Man"},
		{"runs", filter(Name("RunLengthDecode")), []byte{2, 'a', 'b', 'c', 254, 'x', 128, 'y'}, "abcxxx"},
		{"two filters", filter(Name("ASCIIHexDecode"), Name("FlateDecode")), []byte(hex.EncodeToString(zipped(text)) + ">"), string(text)},
		{"png none, sub, up", predicted(NewDict("Predictor", Int(15), "Columns", Int(3))),
			zipped([]byte{0, 1, 2, 3, 1, 1, 1, 1, 2, 1, 1, 1}), "\x01\x02\x03\x01\x02\x03\x02\x03\x04"},
		{"png average, paeth", predicted(NewDict("Predictor", Int(12), "Columns", Int(2))),
			zipped([]byte{0, 10, 20, 3, 1, 1, 4, 1, 1}), "\x0A\x14\x06\x0E\x07\x0F"},
		{"png, last row cut short", predicted(NewDict("Predictor", Int(12), "Columns", Int(3))),
			zipped([]byte{0, 1, 2, 3, 2, 1}), "\x01\x02\x03\x02"},
		{"tiff", predicted(NewDict("Predictor", Int(2), "Columns", Int(3))), zipped([]byte{1, 1, 1, 5, 1, 1}), "\x01\x02\x03\x05\x06\x07"},
		{"tiff of four bits", predicted(NewDict("Predictor", Int(2), "Columns", Int(4), "BitsPerComponent", Int(4))), zipped([]byte{0x11, 0x11}), "\x12\x34"},
		{"tiff of two colours of 16 bits", predicted(NewDict("Predictor", Int(2), "Columns", Int(2), "Colors", Int(2), "BitsPerComponent", Int(16))),
			zipped([]byte{0, 255, 0, 1, 0, 1, 0, 2}), "\x00\xFF\x00\x01\x01\x00\x00\x03"},
	} {
		got, err := (&File{}).Decode(NewStream(c.dict, c.data), 1000)
		if err != nil || string(got) != c.want {
			t.Errorf("%s: %q, %v, want %q", c.name, got, err, c.want)
		}
	}
}

// Damage keeps what came before it, and no stream fills the memory.
func TestDecodeDamage(t *testing.T) {
	packed := zipped(bytes.Repeat([]byte("tide "), 5000))
	flate := NewDict("Filter", "FlateDecode")
	got, err := (&File{}).Decode(NewStream(flate, packed[:len(packed)-10]), 1<<20)
	if !errors.Is(err, ErrPacking) || !bytes.HasPrefix(got, []byte("tide tide ")) {
		t.Errorf("cut short: %d bytes, %v", len(got), err)
	}
	got, err = (&File{}).Decode(NewStream(flate, packed[:len(packed)-4]), 1<<20)
	if err != nil || len(got) != 25000 {
		t.Errorf("without its checksum: %d bytes, %v", len(got), err)
	}
	if _, err = (&File{}).Decode(NewStream(flate, packed), 1000); !errors.Is(err, ErrTooLarge) {
		t.Errorf("too large: %v", err)
	}
	runs := NewDict("Filter", "RunLengthDecode")
	if _, err = (&File{}).Decode(NewStream(runs, bytes.Repeat([]byte{129, 'x'}, 100)), 1000); !errors.Is(err, ErrTooLarge) {
		t.Errorf("runs: %v", err)
	}
	if _, err = (&File{}).Decode(NewStream(NewDict("Filter", "DCTDecode"), nil), 1000); !errors.Is(err, ErrPicture) {
		t.Errorf("a picture: %v", err)
	}
	if _, err = (&File{}).Decode(NewStream(NewDict("Filter", "Odd"), nil), 1000); !errors.Is(err, ErrPacking) {
		t.Errorf("unknown: %v", err)
	}
}
