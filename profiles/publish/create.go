package publish

import (
	"errors"
	"io"
	"os"
)

// Create writes a file that must not exist, into a folder that is being built.
func Create(path string, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return write(f)
}
