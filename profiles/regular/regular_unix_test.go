//go:build unix

package regular

import (
	"errors"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"foldwright/reorder/refusal"
)

// soon fails the test if do waits for somebody.
func soon(t *testing.T, what string, do func() error) (err error) {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- do() }()
	select {
	case err = <-done:
	case <-time.After(2 * time.Minute):
		t.Fatalf("%s is waited for", what)
	}
	return err
}

func pipe(t *testing.T, path string) string {
	t.Helper()
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestOnlyRegularFilesAreOpened(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, []byte("tern"), 0o600); err != nil {
		t.Fatal(err)
	}
	socket := filepath.Join(dir, "socket")
	l, err := net.Listen("unix", socket)
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	link := filepath.Join(dir, "link")
	if err := os.Symlink("pipe", link); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		pipe(t, filepath.Join(dir, "pipe")): "is a named pipe, not a regular file",
		link:                                "is a named pipe, not a regular file",
		socket:                              "is a socket, not a regular file",
		"/dev/zero":                         "is a device, not a regular file",
		dir:                                 "is a folder, not a regular file",
	} {
		err := soon(t, path, func() error { _, err := Read(path, 99); return err })
		var kind *KindError
		var at *fs.PathError
		if !errors.As(err, &kind) || kind.Error() != want || !errors.As(err, &at) || at.Path != path {
			t.Errorf("%s: %v, want %q", path, err, want)
		}
	}
	if data, err := Read(file, 4); string(data) != "tern" || err != nil {
		t.Errorf("got %q, %v", data, err)
	}
	if _, err := Read(file, 3); refusal.Of(err) != refusal.Source {
		t.Errorf("a file that is too large: %v", err)
	}
	if _, err := Read(filepath.Join(dir, "none"), 3); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
}

// TestSizeThatIsNotTold reads a file of the system, whose size is said to be nought.
func TestSizeThatIsNotTold(t *testing.T) {
	const path = "/proc/self/status"
	if _, err := os.Stat(path); err != nil {
		t.Skip("the system has no such file")
	}
	if data, err := Read(path, 1<<20); err != nil || !strings.Contains(string(data), "Name:") {
		t.Errorf("got %q, %v", data, err)
	}
	if _, err := Read(path, 10); refusal.Of(err) != refusal.Source {
		t.Errorf("got %v", err)
	}
}

// TestPipeThatComesMeanwhile puts a pipe into the file's place again and again while it is opened.
func TestPipeThatComesMeanwhile(t *testing.T) {
	dir := t.TempDir()
	place := filepath.Join(dir, "place")
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
			}
			next := filepath.Join(dir, "next")
			if i%2 == 0 {
				_ = os.WriteFile(next, []byte("tern"), 0o600)
			} else {
				_ = syscall.Mkfifo(next, 0o600)
			}
			_ = os.Rename(next, place)
		}
	}()
	files, pipes := 0, 0
	err := soon(t, "a pipe", func() error {
		for end := time.Now().Add(time.Minute); files < 20 || pipes < 20; {
			if time.Now().After(end) {
				return errors.New("not both kinds were met")
			}
			f, err := Open(place)
			var kind *KindError
			switch {
			case err == nil:
				files++
				f.Close()
			case errors.As(err, &kind):
				pipes++
			case !errors.Is(err, fs.ErrNotExist):
				return err
			}
		}
		return nil
	})
	close(stop)
	<-stopped
	if err != nil {
		t.Errorf("%d files, %d pipes: %v", files, pipes, err)
	}
	// What was looked at is not what is opened.
	f, err := open(pipe(t, filepath.Join(dir, "waits")))
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
}
