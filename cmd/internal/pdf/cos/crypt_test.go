package cos

import (
	"encoding/hex"
	"testing"
)

// U entries that qpdf 11.3.0 wrote for the user password "tide" at revision 6
// (qpdf --encrypt tide keeper 256). They are chosen among 260 because their hashes
// end in the very round in which stopping a round early or late makes a difference.
func TestHashOfRevision6(t *testing.T) {
	for _, u := range []string{
		"96c7b0b713ee7c4b0b0801340d451a3aaf22e01e58a5513f18db7182a02fe436a585508f3345a9d431c855ccad4ed21e",
		"748b8d331abca21f08bdf2d111eb115130942ee2c1870ba3408ed44200c937372ad026a740f6dec8b5c407970f3677a6",
		"4883fa23d342a68e903a45f26e9549678c11fe1620a84502864cd2b487d416992597ab63632bb225cef2b3067285f8c1",
	} {
		b, err := hex.DecodeString(u)
		if err != nil {
			t.Fatal(err)
		}
		h := &handler{revision: 6}
		if got := h.hash([]byte("tide"), b[32:40], nil); string(got) != string(b[:32]) {
			t.Errorf("%x, want %x", got, b[:32])
		}
	}
}

// What qpdf 11.3.0 wrote for no passwords at all and no printing (qpdf
// --encrypt "" "" 40 --print=n). The empty password is the owner's as well,
// but nobody has given it.
func TestNoPasswordIsNotTheOwners(t *testing.T) {
	data := []byte("%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[]/Count 0>>endobj\n" +
		"3 0 obj<</Filter/Standard/Length 40/R 2/V 1/P -8" +
		"/O<2055c756c72e1ad702608e8196acad447ad32d17cff583235f6dd15fed7dab67>" +
		"/U<313a300753148c7b99649f4b29814757e77a055d8e8f2e4e0eee3cd7bcd5663f>>>endobj\n" +
		"trailer<</Root 1 0 R/ID[<132a45fafdcad144e4a43cb48cc9c379><31415926535897932384626433832795>]/Encrypt 3 0 R>>\n%%EOF")
	for _, given := range []string{"", "tern"} {
		f := mustOpen(t, data)
		if err := f.Unlock(given); err != nil || f.MayPrint() {
			t.Errorf("%q: %v, may print: %v", given, err, f.MayPrint())
		}
	}
}
