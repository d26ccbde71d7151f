package pdf

import (
	"bytes"
	"errors"
	"fmt"
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
	s := &source{trailer: "/Encrypt << /Filter /Lighthouse /V 9 >> /ID [(a) (b)]"}
	s.square(blackSquare, "")
	if _, err := opened(t, s.bytes(), Options{}); !errors.Is(err, ErrEncryption) {
		t.Error(err)
	}
}
