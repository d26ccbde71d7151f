package publish

import (
	"bufio"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"

	"foldwright/profiles/lock"
)

// Staged is a finished file that lies beside its place.
type Staged struct {
	place string
	made  []string // folders above it, the innermost first
	lock  *lock.Lock
}

// Stage writes a file beside its place, from where [Staged.Publish] brings it
// there and [Staged.Discard] throws it away. Folders above it are made. On an
// error nothing is left. The errors are those of [Check] and of write.
func Stage(ctx context.Context, place string, o Options, write func(ctx context.Context, w io.Writer) error) (_ *Staged, err error) {
	place, err = follow(place)
	if err != nil {
		return nil, err
	}
	made, err := makeParents(filepath.Dir(place))
	if err != nil {
		return nil, err
	}
	held, err := acquireFor(place)
	if err != nil {
		removeEmpty(made)
		return nil, err
	}
	s := &Staged{place, made, held}
	defer func() {
		if err != nil {
			err = errors.Join(namePlace(err, place), s.Discard())
		}
	}()
	if err := Check(place, o); err != nil {
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

func (s *Staged) part() string { return pathBeside(s.place, partSuffix) }

// Publish brings the file to its place, over what it replaces. On an error
// nothing is left.
func (s *Staged) Publish() error {
	if err := os.Rename(s.part(), s.place); err != nil {
		return errors.Join(namePlace(err, s.place), s.Discard())
	}
	syncParents(s.place, s.made)
	return s.lock.Release()
}

// Discard removes the file.
func (s *Staged) Discard() error {
	err := os.Remove(s.part())
	if errors.Is(err, os.ErrNotExist) {
		err = nil
	}
	err = errors.Join(err, s.lock.Release())
	removeEmpty(s.made)
	return err
}

// Write is [Stage] and [Staged.Publish] at once.
func Write(ctx context.Context, place string, o Options, write func(ctx context.Context, w io.Writer) error) error {
	s, err := Stage(ctx, place, o, write)
	if err != nil {
		return err
	}
	return s.Publish()
}
