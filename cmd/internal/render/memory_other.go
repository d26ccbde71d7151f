//go:build !unix

package render

import "runtime/debug"

// reserve returns memory of at least size bytes that begins with what old
// holds. It comes from the Go heap and doubles as it grows, which needs old
// and new memory for a moment: the renderer then takes up to twice its bound.
func reserve(old []byte, size, limit uint64) []byte {
	if size <= uint64(len(old)) {
		return old
	}
	grown := make([]byte, min(limit, max(size, 2*uint64(len(old)))))
	copy(grown, old)
	return grown
}

// release gives the memory back at once: the garbage collector would wait
// until as much again has been used.
func release([]byte) { debug.FreeOSMemory() }
