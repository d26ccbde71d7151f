package shelf

import (
	"fmt"
	"testing"
)

// TestSharesAreAPartition puts every title into exactly one share, about
// equally many into each, and always the same.
func TestSharesAreAPartition(t *testing.T) {
	const titles, n = 4000, 16
	var sizes [n]int
	for i := range titles {
		name := fmt.Sprintf("shelf/title-%d", i)
		owners := 0
		for k := 1; k <= n; k++ {
			if (Share{k, n}).Has(name) {
				owners++
				sizes[k-1]++
			}
		}
		if owners != 1 || !(Share{}).Has(name) {
			t.Fatalf("%s belongs to %d shares", name, owners)
		}
	}
	for k, size := range sizes {
		// 250 are expected; five standard deviations are 77.
		if size < 250-77 || size > 250+77 {
			t.Errorf("share %d/%d has %d of %d titles", k+1, n, size, titles)
		}
	}
	// sha256sum says 8535f7d972e45c6c... for birds/terns and 0e714fd92f7538e3...
	// for tides: c is 12 and 3 is 3. Another rule would move every title.
	for name, k := range map[string]int{"birds/terns": 13, "tides": 4} {
		if !(Share{k, 16}).Has(name) {
			t.Errorf("%s no longer belongs to share %d/16", name, k)
		}
	}
}

func TestShareText(t *testing.T) {
	var s Share
	if err := s.UnmarshalText([]byte("3/16")); err != nil || s != (Share{3, 16}) || s.String() != "3/16" {
		t.Errorf("got %v, %v", s, err)
	}
	for _, text := range []string{"", "3", "0/4", "5/4", "a/b", "3/", "-1/4", "3/16/2"} {
		if err := s.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is taken for %s", text, s)
		}
	}
}

func TestSizeText(t *testing.T) {
	for text, want := range map[string]Size{"2GiB": 2 * GiB, "512MiB": 512 * MiB, "1.5 g": GiB * 3 / 2, "300 mb": 300 * MiB, "64k": 64 * KiB} {
		var s Size
		if err := s.UnmarshalText([]byte(text)); err != nil || s != want {
			t.Errorf("%q is %d, %v", text, s, err)
		}
		var again Size
		if err := again.UnmarshalText([]byte(want.String())); err != nil || again != want {
			t.Errorf("%s is read as %d, %v", want, again, err)
		}
	}
	for _, text := range []string{"", "2", "GiB", "-1GiB", "0MiB", "1e30GiB", "NaN GiB", "2TiB"} {
		var s Size
		if err := s.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is taken for %s", text, s)
		}
	}
	if got := Size(900).String(); got != "900 bytes" {
		t.Error(got)
	}
}

func TestLimits(t *testing.T) {
	for _, c := range []struct {
		memory Size
		cores  int
		bytes  int64
		want   Size
	}{
		{ownShare + 3*GiB, 2, 1000, GiB},                           // an equal share, for one more than there are cores
		{ownShare + 3*GiB, 2, int64(600 * MiB), 96*MiB + 1800*MiB}, // a large source needs more
		{ownShare + 3*GiB, 2, int64(4 * GiB), 3 * GiB},             // but never more than there is
		{leastMemory, 8, 0, floorPerTitle},
	} {
		if got := (limits{c.memory - ownShare, c.cores + 1}).of(&task{bytes: c.bytes}); got != c.want {
			t.Errorf("%s on %d cores, %d bytes: %s, want %s", c.memory, c.cores, c.bytes, got, c.want)
		}
	}
	eight := limits{800 * MiB, 9}
	if got := eight.of(&task{Work: Work{Title: Title{Proof: true}}}); got != floorProved {
		t.Errorf("with a proof %s", got)
	}
	if got := eight.of(&task{alone: true}); got != 800*MiB {
		t.Errorf("alone %s", got)
	}
	if m := systemMemory(); m < leastMemory {
		t.Errorf("the system's memory is %s", m)
	}
}
