// Package stricttest is for tests of what reads files that people or programs
// write: whatever stands in one may cost only what its length allows.
package stricttest

import (
	"runtime/metrics"
	"testing"
	"time"
)

// What reading may cost: so much memory in all for every byte, a little to
// begin with, and far more time than any short input needs, for machines under load.
const (
	perByte = 4 << 10
	least   = 8 << 20
	longest = 10 * time.Second
)

// CheckBounded reads an input and fails the test if that took more memory or time
// than its length allows.
func CheckBounded(t *testing.T, length int, read func()) {
	t.Helper()
	before, began := allocated(), time.Now()
	read()
	if took := time.Since(began); took > longest {
		t.Errorf("reading %d bytes took %v", length, took)
	}
	if bytes := allocated() - before; bytes > least+perByte*uint64(length) {
		t.Errorf("reading %d bytes took %d bytes of memory", length, bytes)
	}
}

// allocated is all the memory that was ever taken.
func allocated() uint64 {
	sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
	metrics.Read(sample)
	return sample[0].Value.Uint64()
}
