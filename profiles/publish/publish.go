// Package publish puts a finished folder in its place, complete or not at all.
//
// [Folder] builds beside the place and renames. Whatever moment it is killed
// at, the place holds the old folder, the new one, or none, and the next call
// for the same place finishes or undoes what was left between; [Recover] does
// only that. Two calls for one place don't meet: the second is told so. [Write]
// does the same for a single file.
//
// What a replaced folder holds besides the files that this program wrote is
// kept: it moves from the old folder into the new one. Files are removed by
// their names only, never a folder with all that is in it.
//
// A place that is a link is followed: what it leads to is written, and the
// link stays.
//
// For a place named book-print the names used beside it are .book-print.lock,
// .book-print.part and .book-print.old.
package publish

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/profiles/lock"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// What can stand in the way of a folder. Match with errors.Is; what is
// around it names the place.
var (
	ErrExists  = refusal.Output.New("exists already").Advise("choose another place with %s, or write %s to replace it", phrase.Set("out"), phrase.Set("replace"))
	ErrForeign = refusal.Output.New("exists and holds something else, so it is not replaced")
	ErrBusy    = refusal.Output.New("is being written by another foldwright command at this moment").Advise("wait until it is done")
	ErrHere    = refusal.Output.New("is the folder that you are in, so it is not replaced").Advise("go to another folder, such as the one above, and give this one with %s", phrase.Set("out"))
	ErrNowhere = refusal.Output.New("is a link that leads nowhere")
)

// Options is how a folder or a file is published.
type Options struct {
	Replace bool
	// Ours names the files in an existing folder that this program wrote, the
	// record that tells of them last. None: the folder is not to be replaced.
	// Where the place is a single file, see [Single].
	Ours func(place string) []string
	// Reads are the files and folders that what is published is made from. A
	// place that is or holds one of them is refused.
	Reads []string
	// Kept, if set, is told what a replaced folder held besides.
	Kept func(names []string)
}

// Single is Options.Ours of a place that is one file.
func Single(ours func(file string) bool) func(string) []string {
	return func(file string) []string {
		if !ours(file) {
			return nil
		}
		return []string{filepath.Base(file)}
	}
}

// Check tells, before any work is done, whether the place is free or may be
// replaced: nil, or an error that matches ErrExists, ErrForeign, ErrHere or
// ErrNowhere, or says that the place is or holds what it would be made from.
func Check(place string, o Options) error {
	lies, err := follow(place)
	if err != nil {
		return err
	}
	info, err := os.Lstat(lies)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	}
	if o.Replace && len(o.Ours(lies)) == 0 {
		return fmt.Errorf("%s %w", place, ErrForeign)
	}
	if source := findWithin(info, o.Reads); source != "" {
		return refuseSource(place, source)
	}
	if !o.Replace {
		return fmt.Errorf("%s %w", place, ErrExists)
	}
	if here, err := os.Stat("."); err == nil && os.SameFile(here, info) {
		return fmt.Errorf("%s %w", place, ErrHere)
	}
	return nil
}

// Folder calls build with an empty folder and, if it returns without error
// and the context is alive, renames that folder to place. On any error the
// place is as it was and nothing lies beside it. The errors are those of [Check]
// and of build, and refusals of what is in the way and of what cannot be judged.
func Folder(ctx context.Context, place string, o Options, build func(ctx context.Context, dir string) error) error {
	c, err := claimPlace(place)
	if err != nil {
		return err
	}
	if err := c.buildFolder(ctx, o, build); err != nil {
		return errors.Join(err, c.giveUp())
	}
	return c.conclude()
}

func (c *claim) buildFolder(ctx context.Context, o Options, build func(ctx context.Context, dir string) error) error {
	if err := recoverFrom(c.place, o.Ours); err != nil {
		return err
	}
	if err := Check(c.place, o); err != nil {
		return err
	}
	if err := os.Mkdir(c.part(), 0o777); err != nil {
		return err
	}
	err := build(ctx, c.part())
	if err == nil {
		err = syncTree(c.part())
	}
	if err == nil {
		err = ctx.Err()
	}
	if err != nil {
		return errors.Join(namePlace(err, c.place), discard(c.part()))
	}
	kept, err := swap(c.place, o.Ours)
	if err != nil {
		return namePlace(err, c.place)
	}
	if len(kept) > 0 && o.Kept != nil {
		o.Kept(kept)
	}
	return nil
}

// The names beside a place.
const (
	lockSuffix = ".lock"
	partSuffix = ".part"
	oldSuffix  = ".old"
)

func pathBeside(place, suffix string) string {
	return filepath.Join(filepath.Dir(place), "."+filepath.Base(place)+suffix)
}

// claim is a place that nobody else writes while it is held.
type claim struct {
	place string
	made  []string // folders above it that it took, the innermost first
	lock  *lock.Lock
}

// claimPlace makes the folders above a place and takes its lock.
func claimPlace(place string) (*claim, error) {
	place, err := follow(place)
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
	return &claim{place, made, held}, nil
}

func (c *claim) part() string { return pathBeside(c.place, partSuffix) }

// conclude makes what was written last, and gives the place free.
func (c *claim) conclude() error {
	syncFolder(filepath.Dir(c.place))
	for _, d := range c.made {
		syncFolder(filepath.Dir(d))
	}
	return c.lock.Release()
}

// giveUp gives the place free and takes back the folders above it.
func (c *claim) giveUp() error {
	err := c.lock.Release()
	removeEmpty(c.made)
	return err
}

func acquireFor(place string) (*lock.Lock, error) {
	l, err := lock.Acquire(pathBeside(place, lockSuffix))
	if errors.Is(err, lock.ErrHeld) {
		return nil, fmt.Errorf("%s %w", place, ErrBusy)
	}
	return l, namePlace(err, place)
}

// Recover finishes or undoes what a killed call for the place has left, and
// does nothing where nothing was left. Where another run is at work at the
// place it is ErrBusy. Ours is that of [Options].
func Recover(place string, ours func(dir string) []string) error {
	place, err := follow(place)
	if err != nil {
		return err
	}
	left := slices.ContainsFunc([]string{lockSuffix, partSuffix, oldSuffix}, func(suffix string) bool {
		_, err := os.Lstat(pathBeside(place, suffix))
		return err == nil
	})
	if !left {
		return nil
	}
	held, err := acquireFor(place)
	if err != nil {
		return err
	}
	return errors.Join(namePlace(recoverFrom(place, ours), place), held.Release())
}

// namePlace names the place instead of what beside it could not be written: the
// person never sees those names.
func namePlace(err error, place string) error {
	var path *fs.PathError
	if errors.As(err, &path) && strings.HasPrefix(path.Path, pathBeside(place, "")) {
		return &fs.PathError{Op: path.Op, Path: place, Err: path.Err}
	}
	return err
}

// discard removes an unfinished folder. If os.RemoveAll cannot, it may be for
// want of open files, of which it takes two: flat folders can be emptied with one.
func discard(part string) error {
	err := os.RemoveAll(part)
	if err == nil {
		return nil
	}
	entries, readErr := os.ReadDir(part)
	if readErr != nil {
		return err
	}
	for _, e := range entries {
		_ = os.Remove(filepath.Join(part, e.Name())) // else the folder stays, and the first error is told
	}
	if os.Remove(part) == nil {
		return nil
	}
	return err
}

// makeParents makes the folders above the place that don't exist yet and
// returns them, the innermost first.
func makeParents(dir string) ([]string, error) {
	var missing []string
	for d := dir; ; d = filepath.Dir(d) {
		info, err := os.Stat(d)
		if err == nil && !info.IsDir() {
			return nil, &fs.PathError{Op: "write", Path: d, Err: errors.New("is a file, not a folder")}
		}
		if err == nil {
			break
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, err
		}
		missing = append(missing, d)
		if d == filepath.Dir(d) {
			break
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		removeEmpty(missing)
		return nil, err
	}
	return missing, nil
}

// removeEmpty takes back folders made for nothing; one that has got other
// contents meanwhile stays.
func removeEmpty(dirs []string) {
	for _, d := range dirs {
		if os.Remove(d) != nil {
			return
		}
	}
}
