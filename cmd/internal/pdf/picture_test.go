package pdf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"foldwright/cmd/internal/pdf/cos"
)

// Streams that are pictures pass byte for byte, whatever they are packed with.
func TestPicturesPass(t *testing.T) {
	for _, filter := range []string{"DCTDecode", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "FlateDecode", "LZWDecode"} {
		s := &source{}
		body := "bytes of a " + filter + " picture \x00\xFF(\\ endobj"
		x := s.stream("/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace [/Separation /Gold /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 0.2 1 0] >>] /Filter /"+filter, body)
		s.square("/X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> >>", x))
		out := asIs(t, mustOpen(t, s.bytes()), 1)
		if !bytes.Contains(out, []byte(body)) || !bytes.Contains(out, []byte("/Filter/"+filter)) || !bytes.Contains(out, []byte("/Separation/Gold")) {
			t.Errorf("a %s picture didn't pass as it was", filter)
		}
	}
}

// What a picture says of itself passes as well, with the streams that it leads to.
func TestWhatBelongsToAPicturePasses(t *testing.T) {
	s := &source{}
	globals := s.stream("/Filter /LZWDecode", "bytes of globals")
	profile := s.stream("/N 4 /Alternate /DeviceCMYK /Range [0 1 0 1 0 1 0 1] /Filter /FlateDecode", "bytes of a profile")
	mask := s.stream("/Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray /Matte [0 0 0 0] /Filter /JPXDecode", "bytes of a mask")
	said := "/BitsPerComponent 2/ColorSpace[/ICCBased %d 0 R]/Decode[1 0 1 0 1 0 1 0]/Intent/Perceptual/Interpolate true/SMask %d 0 R/SMaskInData 1/Filter[/ASCII85Decode/JBIG2Decode]/DecodeParms[null<</JBIG2Globals %d 0 R>>]"
	x := s.stream("/Subtype /Image /Width 1 /Height 1 "+fmt.Sprintf(said, profile, mask, globals), "bytes of a picture")
	spaces := "/ColorSpace << /Spots [/DeviceN [/Gold /Teal] /DeviceCMYK << /FunctionType 2 /N 1 /Domain [0 1 0 1] /C0 [0 0 0 0] /C1 [0 0.2 1 0] >> << /Subtype /NChannel >>] /Lab [/Lab << /WhitePoint [0.9 1 0.8] >>] >>"
	s.square("/Spots cs 1 1 scn /Lab CS /X Do", fmt.Sprintf("/Resources << /XObject << /X %d 0 R >> %s >>", x, spaces))
	d := mustOpen(t, asIs(t, mustOpen(t, s.bytes()), 1))
	all := ""
	numbers := map[string]int{}
	for num := range 40 {
		o := d.file.Resolve(cos.Ref{Num: num})
		text := string(cos.Append(nil, o, own))
		if stream, ok := o.(*cos.Stream); ok {
			raw, err := d.file.Raw(stream)
			if err != nil {
				t.Fatal(err)
			}
			numbers[string(raw)] = num
			text = string(cos.Append(nil, stream.Dict, own)) + string(raw)
		}
		all += text + "\n"
	}
	for _, want := range []string{
		fmt.Sprintf(said, numbers["bytes of a profile"], numbers["bytes of a mask"], numbers["bytes of globals"]),
		"/N 4/Alternate/DeviceCMYK/Range[0 1 0 1 0 1 0 1]/Filter/FlateDecode",
		"/ColorSpace/DeviceGray/Matte[0 0 0 0]/Filter/JPXDecode",
		"/Spots[/DeviceN[/Gold/Teal]/DeviceCMYK<</FunctionType 2/N 1/Domain[0 1 0 1]/C0[0 0 0 0]/C1[0 0.2 1 0]>><</Subtype/NChannel>>]",
		"/Lab[/Lab<</WhitePoint[0.9 1 0.8]>>]",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("%s is not in the print file:\n%q", want, all)
		}
	}
}
