package pdf

import (
	"io/fs"
	"os"
	"time"
)

// clockStep is longer than the step of any file system's clock (FAT: 2 s).
const clockStep = 3 * time.Second

// stamp tells whether an open file has been written since it was opened. Size
// and time of change tell it, unless the file had been changed just before:
// a second change within one step of the file system's clock does not show,
// and the bytes have to be compared.
type stamp struct {
	file   *os.File
	info   fs.FileInfo // when it was opened
	recent bool        // changed less than clockStep before
}

// Unchanged tells, after everything has been read, whether it came from one
// and the same file: nil, or an [*Error] that matches [ErrChanged]. A file that
// another one has been renamed over is still read as it was.
func (d *Document) Unchanged() (err error) {
	defer named(&err, d.path)
	now, err := d.stamp.file.Stat()
	if err != nil {
		return err
	}
	if now.Size() != d.stamp.info.Size() || !now.ModTime().Equal(d.stamp.info.ModTime()) {
		return ErrChanged
	}
	if !d.stamp.recent {
		return nil
	}
	before, err := d.digest()
	if err != nil {
		return err
	}
	after, err := digest(d.stamp.file, now.Size())
	if err == nil && after != before {
		err = ErrChanged
	}
	return err
}
