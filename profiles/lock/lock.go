// Package lock keeps two processes from writing the same thing at one time. A
// lock is a file that is there while it is held, and may be left by a process
// that was killed, without being held.
package lock

import (
	"errors"
	"io/fs"
	"os"

	"github.com/gofrs/flock"
)

// ErrHeld says that somebody else holds the lock.
var ErrHeld = errors.New("is locked")

// Lock is a file whose lock the operating system gives back when its holder
// ends, however it ends.
type Lock struct {
	path string
	file *flock.Flock
}

// Acquire takes the lock at once or returns ErrHeld.
func Acquire(path string) (*Lock, error) {
	for {
		f := flock.New(path)
		held, err := f.TryLock()
		if err != nil {
			return nil, err
		}
		if !held {
			return nil, ErrHeld
		}
		// The holder before us may have removed the file between our opening
		// and our locking it: then what we hold is no longer at the path.
		here, errHere := os.Stat(path)
		ours, errOurs := f.Stat()
		if errHere == nil && errOurs == nil && os.SameFile(here, ours) {
			return &Lock{path, f}, nil
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
}

// Release removes the file while the lock is still held, so that nobody
// locks a file that is about to go. Where open files cannot be removed it is
// removed afterwards.
func (l *Lock) Release() error {
	first := os.Remove(l.path)
	err := l.file.Close()
	if first != nil {
		if again := os.Remove(l.path); again != nil && !errors.Is(again, fs.ErrNotExist) {
			err = errors.Join(err, again)
		}
	}
	return err
}
