//go:build !unix

package render

// reserve takes memory from the Go heap; large pieces come from the system
// and are backed by storage when they are first touched.
func reserve(size uint64) []byte { return make([]byte, size) }

// release leaves the memory to the garbage collector.
func release([]byte) {}
