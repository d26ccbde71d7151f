package publish

import (
	"bufio"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"time"
)

// Staged is a finished file that lies beside its place.
type Staged struct{ *claim }

// Stage writes a file beside its place, from where [Staged.Publish] brings it
// there and [Staged.Discard] throws it away. Folders above it are made. On an
// error nothing is left. The errors are those of [Check] and of write.
func Stage(ctx context.Context, place string, o Options, write func(ctx context.Context, w io.Writer) error) (_ *Staged, err error) {
	c, err := claimPlace(place)
	if err != nil {
		return nil, err
	}
	s := &Staged{c}
	defer func() {
		if err != nil {
			err = errors.Join(namePlace(err, c.place), s.Discard())
		}
	}()
	if err := Check(c.place, o); err != nil {
		return nil, err
	}
	f, err := os.Create(s.part())
	if err != nil {
		return nil, err
	}
	buffered := bufio.NewWriterSize(f, 1<<18)
	err = write(ctx, buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = syncOpen(f)
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = ctx.Err()
	}
	return s, err
}

// Publish brings the file to its place, over what it replaces. On an error
// nothing is left.
func (s *Staged) Publish() error {
	if err := os.Rename(s.part(), s.place); err != nil {
		return errors.Join(namePlace(err, s.place), s.Discard())
	}
	return s.conclude()
}

// Discard removes the file.
func (s *Staged) Discard() error { return errors.Join(ignoreMissing(os.Remove(s.part())), s.giveUp()) }

// Write is [Stage] and [Staged.Publish] at once.
func Write(ctx context.Context, place string, o Options, write func(ctx context.Context, w io.Writer) error) error {
	s, err := Stage(ctx, place, o, write)
	if err != nil {
		return err
	}
	return s.Publish()
}

// Anything is Options.Ours of a file that is replaced whatever lies there.
func Anything(place string) []string { return []string{filepath.Base(place)} }

// WriteOver puts data into a file, over what lies there. It waits for another run that
// writes the same one, which takes no longer than a file takes.
func WriteOver(place string, data []byte) error {
	const patience = 10 * time.Second
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		err := Write(context.Background(), place, Options{Replace: true, Ours: Anything}, func(_ context.Context, w io.Writer) error {
			_, err := w.Write(data)
			return err
		})
		if !errors.Is(err, ErrBusy) || time.Now().After(end) {
			return err
		}
	}
}

// Create writes a file that must not exist, into a folder that is being built.
func Create(path string, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	return write(f)
}
