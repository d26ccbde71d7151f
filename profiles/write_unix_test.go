//go:build unix

package profiles

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// TestFilesAreForWhomTheUserSays writes profiles under masks of users who let
// their group write, others read, or nobody.
func TestFilesAreForWhomTheUserSays(t *testing.T) {
	for mask, want := range map[int]fs.FileMode{0o002: 0o664, 0o022: 0o644, 0o027: 0o640, 0o077: 0o600} {
		s := Store{filepath.Join(t.TempDir(), "printers")}
		before := syscall.Umask(mask)
		path, err := s.Save(full(), false)
		if err == nil {
			err = s.SetDefault(full().Name)
		}
		syscall.Umask(before)
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range []string{path, filepath.Join(s.Dir, defaultFile)} {
			if info, err := os.Stat(file); err != nil || info.Mode().Perm() != want {
				t.Errorf("mask %03o: %s has %v, want %v (%v)", mask, filepath.Base(file), info.Mode(), want, err)
			}
		}
		if info, err := os.Stat(s.Dir); err != nil || info.Mode().Perm() != 0o777&^fs.FileMode(mask) {
			t.Errorf("mask %03o: the folder has %v (%v)", mask, info.Mode(), err)
		}
	}
}
