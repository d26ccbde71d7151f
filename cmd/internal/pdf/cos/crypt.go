package cos

import (
	"bytes"
	"crypto/aes"
	"crypto/cipher"
	"crypto/md5"
	"crypto/rc4"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/binary"
	"errors"
	"hash"

	"golang.org/x/text/encoding/charmap"
)

// What can be wrong with an encrypted file.
var (
	ErrPassword   = errors.New("a password is needed")
	ErrEncryption = errors.New("is encrypted in a way that can't be read here")
)

type cipherKind int

const (
	identity cipherKind = iota + 1
	rc4Cipher
	aes128
	aes256
)

// crypt is an unlocked standard security handler (ISO 32000-2, 7.6.4).
type crypt struct {
	key              []byte
	strings, streams cipherKind
	metadata         bool // metadata streams are encrypted too
	owner            bool // unlocked with the owner's password
	permissions      int32
}

// Encrypted tells whether the file is encrypted.
func (f *File) Encrypted() bool { return f.Trailer.Get("Encrypt") != nil }

// MayPrint tells whether printing is permitted to the one who unlocked the
// file: the owner may do everything (ISO 32000-1, table 22, bit 3).
func (f *File) MayPrint() bool { return f.crypt == nil || f.crypt.owner || f.crypt.permissions&4 != 0 }

// Unlock makes an encrypted file readable. The password is tried as the
// owner's and as the user's, then the empty user password. Errors match ErrPassword or ErrEncryption.
func (f *File) Unlock(password string) error {
	if !f.Encrypted() {
		return nil
	}
	d := f.Dict(f.Trailer.Get("Encrypt"))
	if d == nil {
		return ErrEncryption
	}
	h, err := f.handler(d)
	if err != nil {
		return err
	}
	c := h.crypt
	for _, pw := range spellings(password) {
		if c.key, c.owner = h.open(pw); c.key != nil {
			// Who restricted printing and set no password is not the one who reads.
			c.owner = c.owner && len(pw) > 0
			break
		}
	}
	switch {
	case c.key != nil:
	case h.strings == identity && h.streams == identity:
		c.key = []byte{} // nothing is encrypted but attachments
	default:
		return ErrPassword
	}
	f.mu.Lock()
	f.crypt = &c
	f.forget()
	f.mu.Unlock()
	if f.rebuilt {
		f.addPacked(f.looked)
	}
	return nil
}

// spellings are the bytes that a password can mean: UTF-8 since revision 5,
// one byte a character before.
func spellings(password string) [][]byte {
	out := [][]byte{[]byte(password)}
	if narrow, err := charmap.ISO8859_1.NewEncoder().String(password); err == nil && narrow != password {
		out = append(out, []byte(narrow))
	}
	if password != "" {
		out = append(out, nil)
	}
	return out
}

// handler is what the encryption dictionary says.
type handler struct {
	crypt
	revision   int
	length     int // bytes of the key
	o, u       []byte
	oe, ue, id []byte
}

func (f *File) handler(d *Dict) (*handler, error) {
	integer := func(d *Dict, key Name, missing int64) int64 { return int64(f.Number(d.Get(key), float64(missing))) }
	text := func(key Name) []byte { return []byte(f.Text(d.Get(key))) }
	if filter := f.Resolve(d.Get("Filter")); filter != nil && filter != Name("Standard") {
		return nil, ErrEncryption
	}
	h := &handler{revision: int(integer(d, "R", 0)), o: text("O"), u: text("U"), oe: text("OE"), ue: text("UE")}
	h.permissions = int32(integer(d, "P", 0))
	h.metadata = f.Resolve(d.Get("EncryptMetadata")) != false
	if ids := f.Array(f.Trailer.Get("ID")); len(ids) > 0 {
		h.id = []byte(f.Text(ids[0]))
	}
	bits := integer(d, "Length", 40)
	switch v := integer(d, "V", 0); v {
	case 1:
		bits = 40
		fallthrough
	case 2, 3:
		h.strings, h.streams = rc4Cipher, rc4Cipher
	case 4, 5:
		filters := f.Dict(d.Get("CF"))
		kind := func(key Name) cipherKind {
			filter := f.Dict(filters.Get(f.Name(d.Get(key))))
			switch f.Name(filter.Get("CFM")) {
			case "V2":
				bits = integer(filter, "Length", integer(d, "Length", 128))
				return rc4Cipher
			case "AESV2":
				bits = 128
				return aes128
			case "AESV3":
				bits = 256
				return aes256
			}
			return identity
		}
		bits = 128
		h.strings, h.streams = kind("StrF"), kind("StmF")
	default:
		return nil, ErrEncryption
	}
	if bits < 40 { // some writers count bytes
		bits *= 8
	}
	h.length = int(min(max(bits/8, 5), 32))
	if h.revision < 5 {
		h.length = min(h.length, 16)
	}
	if h.revision < 2 || h.revision > 6 || len(h.o) < 32 || len(h.u) < 16 ||
		h.revision >= 5 && (len(h.o) < 48 || len(h.u) < 48 || len(h.oe) < 32 || len(h.ue) < 32) {
		return nil, ErrEncryption
	}
	return h, nil
}

// open is the key of the file if the password is right, and whether it is the owner's.
func (h *handler) open(pw []byte) (key []byte, owner bool) {
	if h.revision >= 5 {
		return h.openModern(pw[:min(len(pw), 127)])
	}
	if key := h.userKey(h.ownersUser(pw)); key != nil {
		return key, true
	}
	return h.userKey(pw), false
}

const padding = "\x28\xBF\x4E\x5E\x4E\x75\x8A\x41\x64\x00\x4E\x56\xFF\xFA\x01\x08" +
	"\x2E\x2E\x00\xB6\xD0\x68\x3E\x80\x2F\x0C\xA9\xFE\x64\x53\x69\x7A"

func pad(pw []byte) []byte { return append(append([]byte(nil), pw...), padding...)[:32] }

// ownersUser is the user's password that the owner's one unwraps (ISO 32000-1, algorithm 7).
func (h *handler) ownersUser(pw []byte) []byte {
	sum := md5.Sum(pad(pw))
	if h.revision >= 3 {
		for range 50 {
			sum = md5.Sum(sum[:h.length])
		}
	}
	out := append([]byte(nil), h.o[:32]...)
	if h.revision == 2 {
		rc4xor(sum[:h.length], 0, out)
		return out
	}
	for i := 19; i >= 0; i-- {
		rc4xor(sum[:h.length], byte(i), out)
	}
	return out
}

// userKey is the key of the file if the user's password is right (algorithms 2 and 6).
func (h *handler) userKey(pw []byte) []byte {
	m := md5.New()
	m.Write(pad(pw))
	m.Write(h.o[:32])
	m.Write(binary.LittleEndian.AppendUint32(nil, uint32(h.permissions)))
	m.Write(h.id)
	if h.revision >= 4 && !h.metadata {
		m.Write([]byte{255, 255, 255, 255})
	}
	key := m.Sum(nil)[:h.length]
	if h.revision >= 3 {
		for range 50 {
			sum := md5.Sum(key)
			copy(key, sum[:])
		}
	}
	if h.revision == 2 {
		check := []byte(padding)
		rc4xor(key, 0, check)
		if len(h.u) < 32 || !bytes.Equal(check, h.u[:32]) {
			return nil
		}
		return key
	}
	sum := md5.Sum(append([]byte(padding), h.id...))
	for i := range 20 {
		rc4xor(key, byte(i), sum[:])
	}
	if !bytes.Equal(sum[:], h.u[:16]) {
		return nil
	}
	return key
}

// rc4xor applies RC4 in place with each byte of the key changed by i.
func rc4xor(key []byte, i byte, data []byte) {
	k := make([]byte, len(key))
	for j := range key {
		k[j] = key[j] ^ i
	}
	if c, err := rc4.NewCipher(k); err == nil {
		c.XORKeyStream(data, data)
	}
}

// openModern is open for revisions 5 and 6 (ISO 32000-2, algorithm 2.A).
func (h *handler) openModern(pw []byte) (key []byte, owner bool) {
	unwrap := func(salt, u, wrapped []byte) []byte {
		block, err := aes.NewCipher(h.hash(pw, salt, u))
		if err != nil {
			return nil
		}
		out := make([]byte, 32)
		cipher.NewCBCDecrypter(block, make([]byte, 16)).CryptBlocks(out, wrapped[:32])
		return out
	}
	if u := h.u[:48]; bytes.Equal(h.hash(pw, h.o[32:40], u), h.o[:32]) {
		return unwrap(h.o[40:48], u, h.oe), true
	}
	if bytes.Equal(h.hash(pw, h.u[32:40], nil), h.u[:32]) {
		return unwrap(h.u[40:48], nil, h.ue), false
	}
	return nil, false
}

// hash is ISO 32000-2, algorithm 2.B; revision 5 stops after the first step.
func (h *handler) hash(pw, salt, u []byte) []byte {
	first := sha256.Sum256(bytes.Join([][]byte{pw, salt, u}, nil))
	k := first[:]
	if h.revision == 5 {
		return k
	}
	for round := 0; ; round++ {
		k1 := bytes.Repeat(bytes.Join([][]byte{pw, k, u}, nil), 64)
		block, err := aes.NewCipher(k[:16])
		if err != nil {
			return nil
		}
		cipher.NewCBCEncrypter(block, k[16:32]).CryptBlocks(k1, k1)
		mod := 0
		for _, c := range k1[:16] {
			mod += int(c)
		}
		sum := []func() hash.Hash{sha256.New, sha512.New384, sha512.New}[mod%3]()
		sum.Write(k1)
		k = sum.Sum(nil)
		if round >= 63 && int(k1[len(k1)-1]) <= round-31 {
			return k[:32]
		}
	}
}

// decrypt unlocks a string or a stream of an object (ISO 32000-1, algorithm 1). The bytes may be changed in place.
func (c *crypt) decrypt(kind cipherKind, ref Ref, data []byte) []byte {
	switch kind {
	case rc4Cipher:
		rc4xor(c.objectKey(ref, ""), 0, data)
		return data
	case aes128:
		return uncbc(c.objectKey(ref, "sAlT"), data)
	case aes256:
		return uncbc(c.key, data)
	}
	return data
}

func (c *crypt) objectKey(ref Ref, salt string) []byte {
	b := append([]byte(nil), c.key...)
	b = append(b, byte(ref.Num), byte(ref.Num>>8), byte(ref.Num>>16), byte(ref.Gen), byte(ref.Gen>>8))
	sum := md5.Sum(append(b, salt...))
	return sum[:min(len(c.key)+5, 16)]
}

// uncbc undoes AES in CBC mode; a missing end or wrong padding loses no more than it must.
func uncbc(key, data []byte) []byte {
	block, err := aes.NewCipher(key)
	if err != nil || len(data) < 32 {
		return nil
	}
	body := data[16 : len(data)-len(data)%16]
	cipher.NewCBCDecrypter(block, data[:16]).CryptBlocks(body, body)
	if n := int(body[len(body)-1]); n >= 1 && n <= 16 {
		body = body[:len(body)-n]
	}
	return body
}
