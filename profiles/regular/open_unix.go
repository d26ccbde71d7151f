//go:build unix

package regular

import (
	"errors"
	"os"
	"syscall"
)

// open does not wait: where a pipe has come into the file's place since it was
// looked at, it is opened and then seen to be one. Of a regular file only one thing
// is waited for, that another program gives back a lease on it.
func open(path string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK|syscall.O_NOCTTY, 0)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return os.Open(path)
	}
	return f, err
}
