package publish

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// refuseTaken refuses a folder that holds files of somebody else under names that
// are to be written.
func refuseTaken(place string, taken []string) error {
	names := strings.Join(taken, ", ")
	return refusal.Output.New("%s holds %s, which would be written over although Foldwright did not write it", place, names).
		Advise("give %s another name, or choose another place with %s", names, phrase.Set("out"))
}

// refuseLeft refuses to put right what a killed call has left where something
// would be lost.
func refuseLeft(left, place string) error {
	return refusal.Output.New("%s was left by a foldwright command that was killed, and holds files that cannot be put back into %s", left, place).
		Advise("move out of it what you want to keep, then remove it")
}

// swap renames the old folder aside and the new one into its place, moves over
// what is not ours, which it returns, and removes the rest.
func swap(place string, ours func(dir string) []string) (kept []string, err error) {
	part, old := pathBeside(place, partSuffix), pathBeside(place, oldSuffix)
	if err := checkTaken(place, part, ours); err != nil {
		return nil, errors.Join(err, discard(part))
	}
	err = os.Rename(place, old)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, errors.Join(err, discard(part))
	}
	replaced := err == nil
	if err := os.Rename(part, place); err != nil {
		if replaced {
			err = errors.Join(err, os.Rename(old, place))
		}
		return nil, errors.Join(err, discard(part))
	}
	if !replaced {
		return nil, nil
	}
	kept, err = moveForeign(place, old, ours)
	if err != nil {
		return nil, errors.Join(err, swapBack(place, kept))
	}
	return kept, removeOurs(place, old, ours)
}

// swapBack undoes a swap that did not get further than having moved some names.
func swapBack(place string, moved []string) error {
	part, old := pathBeside(place, partSuffix), pathBeside(place, oldSuffix)
	for _, name := range moved {
		if err := os.Rename(filepath.Join(place, name), filepath.Join(old, name)); err != nil {
			return err
		}
	}
	if err := os.Rename(place, part); err != nil {
		return err
	}
	return errors.Join(os.Rename(old, place), discard(part))
}

// checkTaken refuses to replace a folder in which something that is not ours has
// the name of a new file.
func checkTaken(place, part string, ours func(dir string) []string) error {
	names, err := listForeign(place, ours(place))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	// The new folder is asked, for there are file systems that don't tell cases apart.
	taken := slices.DeleteFunc(names, func(name string) bool {
		_, err := os.Lstat(filepath.Join(part, name))
		return errors.Is(err, fs.ErrNotExist)
	})
	if err == nil && len(taken) > 0 {
		err = refuseTaken(place, taken)
	}
	return err
}

// listForeign is what a folder holds besides the files that are ours. What has the
// name of one and is no file is not ours.
func listForeign(dir string, ours []string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.Type().IsRegular() && slices.Contains(ours, e.Name()) })
	return lists.Map(entries, fs.DirEntry.Name), nil
}

// moveForeign moves what is not ours from the old folder into its place. On an
// error it returns what it has moved. Nothing that lies in the place is
// replaced: that is refused.
func moveForeign(place, old string, ours func(dir string) []string) (moved []string, err error) {
	names, err := listForeign(old, ours(old))
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		to := filepath.Join(place, name)
		if _, err := os.Lstat(to); !errors.Is(err, fs.ErrNotExist) {
			return moved, errors.Join(err, refuseLeft(old, place))
		}
		if err := os.Rename(filepath.Join(old, name), to); err != nil {
			return moved, err
		}
		moved = append(moved, name)
	}
	return moved, nil
}

// removeOurs removes the old folder's files by their names, the record that
// tells them last, and the folder if nothing else has come into it.
func removeOurs(place, old string, ours func(dir string) []string) error {
	syncFolder(place) // what was moved into it is there before the folder it came from goes
	for _, name := range ours(old) {
		if err := os.Remove(filepath.Join(old, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return os.Remove(old)
}

// recoverFrom finishes or undoes what a killed call left.
func recoverFrom(place string, ours func(dir string) []string) error {
	part, old := pathBeside(place, partSuffix), pathBeside(place, oldSuffix)
	if err := discard(part); err != nil {
		return err
	}
	if _, err := os.Lstat(old); err != nil {
		return ignoreMissing(err)
	}
	if _, err := os.Lstat(place); errors.Is(err, fs.ErrNotExist) {
		return os.Rename(old, place)
	}
	if entries, err := os.ReadDir(old); err == nil && len(entries) == 0 {
		return os.Remove(old)
	}
	// Both are a folder of ours, or somebody else has had a hand in this.
	if len(ours(place)) == 0 || len(ours(old)) == 0 {
		return refuseLeft(old, place)
	}
	if _, err := moveForeign(place, old, ours); err != nil {
		return err
	}
	return removeOurs(place, old, ours)
}

func ignoreMissing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// KeptText says in one line what a replaced folder held besides, and holds still.
func KeptText(names []string) string {
	const most = 5
	words := names
	if more := len(names) - most; more > 1 {
		words = append(names[:most:most], fmt.Sprintf("%d others", more))
	}
	return fmt.Sprintf("kept %s: not part of what was replaced", refusal.List(words, "and"))
}
