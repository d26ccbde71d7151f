// Package secondreader asks a reader of PDF that shares nothing with package
// pdf, and nothing with the renderer, whether a file is sound: [Check].
//
// That reader is pdfcpu, which looks through all objects of a file and compares them with
// what ISO 32000 says of them.
package secondreader

import (
	"context"
	"errors"
	"os"
	"strings"
	"sync"

	// Not package api above these: it brings along what costs every start of the program 25 ms.
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/validate"

	"foldwright/reorder/refusal"
)

// MostBytes is the size of the largest file that is read. The reader holds a file in memory with every object of
// it: a scan of 50 MB takes it 65 MB, but text, which is packed, up to 12 times the file's size.
const MostBytes = 32 << 20

// ErrTooLarge says that a file is larger than [MostBytes] and was not read.
var ErrTooLarge = errors.New("is too large for the second reader")

// keepOut keeps the library from writing into the user's configuration folder.
var keepOut = sync.OnceFunc(func() { model.ConfigPath = "disable" })

// Check has the reader look through a file. Its error is nil for a sound file, a refusal for one that the
// reader calls unsound, [ErrTooLarge], or what kept the file from being read at all.
func Check(ctx context.Context, path, password string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	info, err := f.Stat()
	if err == nil && info.Size() > MostBytes {
		err = ErrTooLarge
	}
	if err != nil {
		return errors.Join(err, f.Close())
	}
	answer := make(chan error, 1)
	go func() {
		defer f.Close()
		answer <- look(ctx, f, password)
	}()
	select {
	case err := <-answer:
		return err
	case <-ctx.Done(): // which the library heeds only while it reads
		return ctx.Err()
	}
}

// look refuses a file that the library refuses, or fails on.
func look(ctx context.Context, f *os.File, password string) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = refusal.Source.New("it fails on the file: %v", r)
		}
	}()
	keepOut()
	conf := model.NewDefaultConfiguration() // the library changes it, so it is never shared
	conf.Cmd = model.VALIDATE
	conf.Offline = true
	conf.UserPW, conf.OwnerPW = password, password
	read, err := pdfcpu.ReadWithContext(ctx, f, conf)
	if err == nil {
		err = validate.XRefTable(read)
	}
	if err == nil || ctx.Err() != nil {
		return ctx.Err()
	}
	reason, _, _ := strings.Cut(err.Error(), "\n")
	return refusal.Source.New("%s", reason)
}
