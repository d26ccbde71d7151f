package publish

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"golang.org/x/sync/errgroup"
)

// syncTree brings all files of a folder to the disk, and then the folders.
// Without that a rename may outlast a power cut and the files may not. The
// files are synced side by side: a disk takes them together.
func syncTree(dir string) error {
	const together = 16
	var folders []string
	var files errgroup.Group
	files.SetLimit(together)
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir():
			folders = append(folders, path)
		case e.Type().IsRegular():
			files.Go(func() error { return syncFile(path) })
		}
		return nil
	})
	if err := errors.Join(err, files.Wait()); err != nil {
		return err
	}
	for i := len(folders) - 1; i >= 0; i-- {
		syncFolder(folders[i])
	}
	return nil
}

// syncFile opens the file for writing, without which not every system syncs.
func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if errors.Is(err, fs.ErrPermission) {
		f, err = os.Open(path)
	}
	if err != nil {
		return err
	}
	return errors.Join(syncOpen(f), f.Close())
}

// syncOpen bears file systems that cannot sync: there it is as lasting as they
// make it. A full disk may show only here.
func syncOpen(f *os.File) error {
	err := f.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return err
}

// syncFolder makes renames in a folder last where the system can do so.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		_ = d.Close()
	}
}
