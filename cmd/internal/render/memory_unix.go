//go:build unix

package render

import "syscall"

// reserve takes address space from the system, filled with noughts page by
// page when first touched, or nil.
func reserve(size uint64) []byte {
	b, err := syscall.Mmap(-1, 0, int(size), syscall.PROT_READ|syscall.PROT_WRITE, syscall.MAP_ANON|syscall.MAP_PRIVATE)
	if err != nil {
		return nil
	}
	return b
}

func release(b []byte) {
	// The only error is that b was not reserved.
	_ = syscall.Munmap(b)
}
