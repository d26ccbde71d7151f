package publish

import (
	"errors"
	"io/fs"
	"os"

	"github.com/gofrs/flock"
)

// lock is a file whose lock the operating system gives back when its holder
// ends, however it ends.
type lock struct {
	path string
	file *flock.Flock
}

// acquire takes the lock at once or returns ErrBusy.
func acquire(path string) (*lock, error) {
	for {
		f := flock.New(path)
		held, err := f.TryLock()
		if err != nil {
			return nil, err
		}
		if !held {
			return nil, ErrBusy
		}
		// The holder before us may have removed the file between our opening
		// and our locking it: then what we hold is no longer at the path.
		here, errHere := os.Stat(path)
		ours, errOurs := f.Stat()
		if errHere == nil && errOurs == nil && os.SameFile(here, ours) {
			return &lock{path, f}, nil
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
}

// release removes the file while the lock is still held, so that nobody
// locks a file that is about to go. Where open files cannot be removed it is
// removed afterwards.
func (l *lock) release() error {
	first := os.Remove(l.path)
	err := l.file.Close()
	if first != nil {
		if again := os.Remove(l.path); again != nil && !errors.Is(again, fs.ErrNotExist) {
			err = errors.Join(err, again)
		}
	}
	return err
}
