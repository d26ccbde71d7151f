package publish

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// refuseSource refuses a place that is, or holds, what it would be made from.
func refuseSource(place, source string) error {
	why := refusal.Output.New("%s holds %s, from which it would be made, so it is not replaced", place, source)
	there, errPlace := os.Stat(place)
	made, errSource := os.Stat(source)
	if errPlace == nil && errSource == nil && os.SameFile(there, made) {
		why = refusal.Output.New("%s would be made from itself, so it is not replaced", place)
	}
	return why.Advise("move %s elsewhere, or choose another place with %s", filepath.Base(source), phrase.Set("out"))
}

// follow is where a place lies: what a link leads to, which need not be there
// yet, but the folder above it does.
func follow(place string) (string, error) {
	given := place
	place, err := filepath.Abs(place)
	if err != nil {
		return "", err
	}
	const longest = 40 // links one after another, more than any system follows
	for range longest {
		target, err := os.Readlink(place)
		if err != nil {
			return place, nil // no link, or nothing at all
		}
		above, err := filepath.EvalSymlinks(filepath.Dir(place))
		if err != nil {
			return "", err
		}
		if !filepath.IsAbs(target) {
			target = filepath.Join(above, target)
		}
		if _, err := os.Stat(filepath.Dir(target)); err != nil {
			break
		}
		place = target
	}
	return "", fmt.Errorf("%s %w", given, ErrNowhere)
}

// findWithin is the first of the paths that is the place or lies in it, be it by
// its name or by where links lead; empty if none does.
func findWithin(place fs.FileInfo, paths []string) string {
	for _, path := range paths {
		for _, lies := range []string{path, followLinks(path)} {
			if isOrHolds(place, lies) {
				return path
			}
		}
	}
	return ""
}

func followLinks(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	return path
}

func isOrHolds(place fs.FileInfo, path string) bool {
	path, err := filepath.Abs(path)
	if err != nil {
		return false
	}
	for info, err := os.Lstat(path); ; info, err = os.Stat(path) { // of the folders above, links are followed
		if err == nil && os.SameFile(info, place) {
			return true
		}
		above := filepath.Dir(path)
		if above == path {
			return false
		}
		path = above
	}
}
