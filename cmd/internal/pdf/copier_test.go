package pdf

import (
	"bytes"
	"fmt"
	"testing"

	"foldwright/cmd/internal/pdf/cos"
)

// A form that leads to another page, as structure data and some programs'
// private entries do, doesn't bring that page along.
func TestOtherPagesAreNotDraggedAlong(t *testing.T) {
	for _, kind := range []string{"Page", "StructElem", "StructTreeRoot", "Catalog"} {
		s := &source{}
		other := s.add("<< /Type /%s /Note (brought along) /Data %d 0 R >>", kind, s.stream("", "brought along"))
		form := s.stream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 200 200] /Private %d 0 R", other), blackSquare)
		s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", form))
		out := asIs(t, mustOpen(t, s.bytes()), 1)
		if bytes.Contains(out, []byte("brought along")) {
			t.Errorf("a %s came along", kind)
		}
		look(t, kind, out, 1, []spot{{100, 100, "black"}})
	}
}

// Streams are written decrypted, so the filter that says how to decrypt them must go.
func TestCryptFilterIsTakenAway(t *testing.T) {
	encrypted := &cos.File{Trailer: cos.NewDict("Encrypt", &cos.Dict{})}
	c := &copier{src: encrypted}
	for _, k := range []struct{ dict, want *cos.Dict }{
		{cos.NewDict("Filter", "Crypt", "DecodeParms", cos.NewDict("Name", "Identity")), &cos.Dict{}},
		{cos.NewDict("Filter", cos.Array{cos.Name("Crypt"), cos.Name("FlateDecode")}, "DecodeParms", cos.Array{nil, cos.NewDict("Predictor", cos.Int(2))}),
			cos.NewDict("Filter", cos.Array{cos.Name("FlateDecode")}, "DecodeParms", cos.Array{cos.NewDict("Predictor", cos.Int(2))})},
		{cos.NewDict("Filter", "DCTDecode"), cos.NewDict("Filter", "DCTDecode")},
	} {
		got := cos.Append(nil, c.streamDict(cos.NewStream(k.dict, nil)), own)
		if want := cos.Append(nil, k.want, own); !bytes.Equal(got, want) {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
