package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

var noConfigFolder = sync.OnceFunc(api.DisableConfigDir)

// encrypted has another library encrypt a source.
func encrypted(t *testing.T, data []byte, user, owner, cipher string, bits int, permissions model.PermissionFlags) []byte {
	t.Helper()
	noConfigFolder()
	conf := model.NewAESConfiguration(user, owner, bits)
	if cipher == "RC4" {
		conf = model.NewRC4Configuration(user, owner, bits)
	}
	conf.Offline = true
	conf.Permissions = permissions
	var out bytes.Buffer
	if err := api.Encrypt(bytes.NewReader(data), &out, conf); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestEncryptedSources(t *testing.T) {
	s := &source{}
	// A string matters to what is seen: the colour of an indexed colour space lies in one.
	lookup := s.add("(\\000\\377)")
	space := s.add("[/Indexed /DeviceGray 1 %d 0 R]", lookup)
	s.square("/I cs 0 sc 50 50 100 100 re f", fmt.Sprintf("/Resources << /ColorSpace << /I %d 0 R >> >>", space))
	plain := s.bytes()
	spots := []spot{{100, 100, "black"}, {20, 20, "white"}}
	for _, cipher := range []struct {
		name string
		bits int
	}{{"RC4", 40}, {"RC4", 128}, {"AES", 40}, {"AES", 128}, {"AES", 256}} {
		if cipher.name == "AES" && cipher.bits == 40 {
			continue // there is no such thing
		}
		for _, c := range []struct {
			name, user, owner, given string
			permissions              model.PermissionFlags
			want                     error
		}{
			{"empty user password", "", "keeper", "", model.PermissionsAll, nil},
			{"user password", "gull", "keeper", "gull", model.PermissionsAll, nil},
			{"owner password", "gull", "keeper", "keeper", model.PermissionsAll, nil},
			{"no password", "gull", "keeper", "", model.PermissionsAll, ErrPassword},
			{"wrong password", "gull", "keeper", "tern", model.PermissionsAll, ErrWrongPassword},
			{"a needless password", "", "keeper", "tern", model.PermissionsAll, nil},
			{"printing not permitted", "", "keeper", "", model.PermissionsNone, ErrNoPrinting},
			{"printing not permitted, but to the owner", "", "keeper", "keeper", model.PermissionsNone, nil},
			{"printing permitted and nothing else", "", "keeper", "", model.PermissionsPrint, nil},
		} {
			t.Run(fmt.Sprint(cipher, c.name), func(t *testing.T) {
				d, err := opened(t, encrypted(t, plain, c.user, c.owner, cipher.name, cipher.bits, c.permissions), Options{Password: c.given})
				if !errors.Is(err, c.want) {
					t.Fatalf("opening: %v, want %v", err, c.want)
				}
				if err != nil {
					return
				}
				out := asIs(t, d, 1)
				if bytes.Contains(out, []byte("/Encrypt")) {
					t.Error("the print file is encrypted")
				}
				look(t, "the print file", out, 1, spots)
			})
		}
	}
}

// The files in testdata/encrypted are a page of our own that qpdf 11.3.0 encrypted with
// the user password named here (qpdf --encrypt USER keeper BITS): rN is the revision. Of
// r4-gen1 one object got the generation 1 and its string was encrypted by hand for it;
// qpdf, poppler and MuPDF show the same.
func TestEncryptedByAnotherProgram(t *testing.T) {
	long := strings.Repeat("the lamp was lit at six and burned until the morning, ", 3)
	var files []string
	for _, c := range []struct {
		file, user, owner string
		old, new          string // what is changed in the file first
	}{
		{file: "r2", user: "gull", owner: "keeper"},
		{file: "r2", user: "gull", owner: "keeper", old: "/Length 40", new: "/Length 99"}, // means nothing here
		{file: "r3-letters", user: "Möwe", owner: "keeper"},
		{file: "r3-long", user: long, owner: "keeper"},
		{file: "r3-long", user: long, owner: "keeper", old: "/Length 128", new: "/Length 16 "}, // counts bytes
		{file: "r4-cleartext", user: "gull", owner: "keeper"},                                  // --cleartext-metadata
		{file: "r4-empty", owner: "keeper"},
		{file: "r4-empty", owner: "keeper", old: "/StrF /StdCF", new: "/StrF /Plain"}, // strings are as they are
		{file: "r4-gen1", owner: "keeper"},
		{file: "r4-noprint", owner: "keeper"},              // --print=none
		{file: "r4-packed", user: "gull", owner: "keeper"}, // --object-streams=generate
		{file: "r4-packed", user: "gull", owner: "keeper", old: "startxref", new: "lost here"},
		{file: "r4-rc4", user: "gull", owner: "keeper"}, // --force-V4 --use-aes=n
		{file: "r5", user: "gull", owner: "keeper"},     // --force-R5
		{file: "r6-long", user: long, owner: "keeper"},  // made with its first 127 bytes, which alone count (ISO 32000-2, 7.6.4.3.3)
		{file: "r6-packed", user: "gull", owner: "keeper"},
	} {
		data, err := os.ReadFile(filepath.Join("testdata", "encrypted", c.file+".pdf"))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, c.file+".pdf")
		if c.old != "" {
			if !bytes.Contains(data, []byte(c.old)) {
				t.Fatalf("%s: %s isn't there", c.file, c.old)
			}
			data = bytes.Replace(data, []byte(c.old), []byte(c.new), 1)
		}
		colour := "black"
		if c.new == "/StrF /Plain" {
			data = bytes.Replace(data, []byte("<20d9>"), []byte("<dfff>"), 1) // which would be white if it were decrypted
			colour = "grey"
		}
		for _, password := range []string{c.user, c.owner} {
			d, err := opened(t, data, Options{Password: password})
			if c.file == "r4-noprint" && password == "" {
				if !errors.Is(err, ErrNoPrinting) {
					t.Errorf("printing is not permitted, but %v", err)
				}
				continue
			}
			if err != nil {
				t.Errorf("%s %s with %q: %v", c.file, c.new, password, err)
				continue
			}
			if w := d.Warnings(); (len(w) > 0) != (c.old == "startxref") {
				t.Errorf("%s: %q", c.file, w)
			}
			look(t, c.file+" "+c.new, asIs(t, d, 1), 1, []spot{{100, 100, colour}, {20, 20, "white"}})
		}
		if d, err := opened(t, data, Options{Password: "tern"}); c.user != "" && !errors.Is(err, ErrWrongPassword) {
			t.Errorf("%s opens with a wrong password: %v, %v", c.file, d, err)
		}
	}
	there, err := filepath.Glob(filepath.Join("testdata", "encrypted", "*.pdf"))
	slices.Sort(files)
	if err != nil || len(there) != len(slices.Compact(files)) {
		t.Errorf("of the files %q some are not tried: %q", there, files)
	}
}

// A stream can be left out of the encryption (ISO 32000-1, 7.6.5); in a print file the
// filter that says so would lead astray. The passwords are those of r4-empty.
func TestStreamsThatAreNotEncrypted(t *testing.T) {
	for _, filter := range []string{"/Filter /Crypt", "/Filter [/Crypt] /DecodeParms [<< /Name /Identity >>]"} {
		s := &source{trailer: "/Encrypt << /CF << /StdCF << /AuthEvent /DocOpen /CFM /V2 /Length 16 >> >> /Filter /Standard /Length 128 " +
			"/O <e30980c9c379a50d357bcdbd282faf4b53590c65074dc985630572673ca059d5> /P -4 /R 4 /StmF /StdCF /StrF /StdCF " +
			"/U <aae6966caa6ad8e956732c6beb60e5bb0122456a91bae5134273a6db134c87c4> /V 4 >> /ID [<080192d5a180bc266a1903b93839fc73><080192d5a180bc266a1903b93839fc73>]"}
		form := func(content string) int {
			return s.stream("/Type /XObject /Subtype /Form /BBox [0 0 200 200] "+filter, content)
		}
		square, around := form(blackSquare), form("/Square Do")
		note := s.add("<< /Subtype /Stamp /F 4 /Rect [0 0 10 10] /AP << /N %d 0 R >> >>", form("0 0 200 200 re f"))
		s.page("/MediaBox [0 0 200 200] /Contents %d 0 R /Annots [%d 0 R] /Resources << /XObject << /Around %d 0 R /Square %d 0 R >> >>",
			s.stream(filter, "/Around Do"), note, around, square)
		out := asIs(t, mustOpen(t, s.bytes()), 1)
		look(t, filter, out, 1, []spot{{100, 100, "black"}, {5, 5, "black"}, {20, 20, "white"}})
		if bytes.Contains(out, []byte("/Crypt")) {
			t.Errorf("%s is in the print file", filter)
		}
	}
}

// Where only attachments are encrypted (ISO 32000-1, table 20, EFF) no
// password is needed for the pages; what the owner permits still counts.
func TestOnlyAttachmentsAreEncrypted(t *testing.T) {
	digest := func(n int) string { return "<" + strings.Repeat("5A", n) + ">" }
	for permissions, want := range map[int]error{-4: nil, -8: ErrNoPrinting} {
		s := &source{trailer: fmt.Sprintf("/ID [(a) (b)] /Encrypt << /Filter /Standard /V 5 /R 6 /Length 256 /P %d /O %s /U %s /OE %s /UE %s "+
			"/CF << /StdCF << /CFM /AESV3 /AuthEvent /EFOpen >> >> /StmF /Identity /StrF /Identity /EFF /StdCF >>",
			permissions, digest(48), digest(48), digest(32), digest(32))}
		s.square(blackSquare, "")
		data := s.bytes()
		d, err := opened(t, data, Options{})
		if !errors.Is(err, want) {
			t.Fatalf("permissions %d: %v, want %v", permissions, err, want)
		}
		if err == nil {
			look(t, "the source", data, 1, []spot{{100, 100, "black"}})
			look(t, "the print file", asIs(t, d, 1), 1, []spot{{100, 100, "black"}})
		}
	}
}

// A password is not asked for where another handler than the standard one locks the file.
func TestUnknownEncryption(t *testing.T) {
	for _, said := range []string{"/V 9", "/V 1 /R 2 /O (12345678901234567890123456789012) /U (12345678901234567890123456789012) /P -4"} {
		s := &source{trailer: "/Encrypt << /Filter /Lighthouse " + said + " >> /ID [(a) (b)]"}
		s.square(blackSquare, "")
		if _, err := opened(t, s.bytes(), Options{}); !errors.Is(err, ErrEncryption) {
			t.Errorf("%s: %v", said, err)
		}
	}
}
