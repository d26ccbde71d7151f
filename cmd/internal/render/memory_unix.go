//go:build unix

package render

import "syscall"

// reserve returns memory of at least size bytes that begins with what old
// holds, or nil. The whole limit is taken as address space at once, which the
// system fills with zeros where it is first touched, so that growing copies nothing.
func reserve(old []byte, _, limit uint64) []byte {
	if old != nil {
		return old
	}
	b, err := syscall.Mmap(-1, 0, int(limit), syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE)
	if err != nil {
		return nil
	}
	return b
}

func release(b []byte) {
	// The only error is that b was not reserved.
	_ = syscall.Munmap(b)
}
