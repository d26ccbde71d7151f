package shelf

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"

	"foldwright/reorder/refusal"
)

// Share is the fixed part of a shelf that one machine of several takes: part
// K of N, counted from 1. The zero value is the whole shelf.
type Share struct{ K, N int }

// Has tells whether a title of this name belongs to the share. It depends on
// nothing but the name, so titles that come or go don't move others.
func (s Share) Has(name string) bool {
	if s.N == 0 {
		return true
	}
	sum := sha256.Sum256([]byte(name))
	return binary.BigEndian.Uint64(sum[:])%uint64(s.N) == uint64(s.K-1)
}

func (s Share) String() string {
	if s.N == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", s.K, s.N)
}

// UnmarshalText reads K/N.
func (s *Share) UnmarshalText(text []byte) error {
	first, last, slash := strings.Cut(string(text), "/")
	k, errK := strconv.Atoi(first)
	n, errN := strconv.Atoi(last)
	if !slash || errK != nil || errN != nil || k < 1 || k > n {
		return refusal.Use.New("%q is not a share: use for example 3/16, from 1/16 to 16/16", text)
	}
	*s = Share{k, n}
	return nil
}

func (s Share) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
