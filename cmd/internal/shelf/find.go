package shelf

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"foldwright/cmd/internal/plan"
	"foldwright/reorder/refusal"
)

// refuseFolder says why there is nothing to prepare in a folder.
func refuseFolder(folder, why string) error {
	return refusal.Source.New("%s %s", folder, why).
		Advise("%s shows a worklist, which can name titles in several folders", exampleCommand)
}

// FindTitles makes a shelf of every PDF in a folder and in its subfolders,
// all with the same settings. Folders that this program wrote are not
// searched, nor what begins with a dot.
func FindTitles(folder, out string, settings []Setting, r Reader) (Shelf, error) {
	var t Title
	if err := t.set(settings); err != nil {
		return Shelf{}, err
	}
	options, err := r.Read(t.Settings)
	if err != nil {
		return Shelf{}, err
	}
	t.Options = &options
	if plan.IsOurs(folder) {
		return Shelf{}, refuseFolder(folder, "was written by foldwright, so it is not searched for titles")
	}
	sources, err := search(folder, "**/*.pdf")
	if err != nil {
		return Shelf{}, err
	}
	if len(sources) == 0 {
		return Shelf{}, refuseFolder(folder, "holds no PDF, nor do its subfolders")
	}
	s := Shelf{Name: filepath.Base(makeAbsolute(folder)), Out: out}
	for _, source := range sources {
		t.Source, t.Name = source, nameOf(folder, source)
		t.Place = placeOf(out, t.Name)
		s.Titles = append(s.Titles, t)
	}
	return s, s.check()
}

func makeAbsolute(p string) string {
	if abs, err := filepath.Abs(p); err == nil {
		return abs
	}
	return p
}

// isPattern tells whether a path has letters that stand for others.
func isPattern(p string) bool { return strings.ContainsAny(p, "*?[") }

// search finds what a pattern means, with / between its parts: * ? [a-z] as in a
// shell, and ** for any folders or none. What is found by such a letter at
// the end is a file that ends in .pdf. The result is sorted.
func search(folder, pattern string) ([]string, error) {
	parts := strings.Split(pattern, "/")
	for _, part := range parts {
		if _, err := path.Match(part, ""); err != nil {
			return nil, fmt.Errorf("%q is no pattern: %w", pattern, err)
		}
	}
	// ** twice means what it means once, and would be looked for in every pair of folders.
	parts = slices.CompactFunc(parts, func(a, b string) bool { return a == "**" && b == "**" })
	var found []string
	if err := expand(folder, parts, &found); err != nil {
		return nil, err
	}
	slices.Sort(found)
	return slices.Compact(found), nil
}

func expand(dir string, parts []string, found *[]string) error {
	part, rest := parts[0], parts[1:]
	if part == "**" && len(rest) > 0 {
		if err := expand(dir, rest, found); err != nil {
			return err
		}
	}
	if part != "**" && !isPattern(part) {
		next := filepath.Join(dir, part)
		info, err := os.Stat(next)
		switch {
		case err != nil:
			return nil
		case len(rest) > 0 && info.IsDir():
			return expand(next, rest, found)
		case len(rest) == 0 && !info.IsDir():
			*found = append(*found, next)
		}
		return nil
	}
	entries, err := list(dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		next := filepath.Join(dir, e.Name())
		switch matches, _ := path.Match(lowerExtension(part), lowerExtension(e.Name())); {
		case part == "**":
			if e.IsDir() {
				err = expand(next, parts, found)
			}
		case matches && len(rest) > 0 && e.IsDir():
			err = expand(next, rest, found)
		case matches && len(rest) == 0 && isFile(next, e) && strings.HasSuffix(lowerExtension(next), ".pdf"):
			*found = append(*found, next)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// lowerExtension writes the ending of a PDF's name small: *.pdf means A.PDF too.
func lowerExtension(name string) string {
	const ending = ".pdf"
	if at := len(name) - len(ending); at >= 0 && strings.EqualFold(name[at:], ending) {
		return name[:at] + ending
	}
	return name
}

// list is what a folder holds for a search: nothing in a folder of ours, and
// nothing that begins with a dot, as folders do that are just being written.
func list(dir string) ([]fs.DirEntry, error) {
	if plan.IsOurs(dir) {
		return nil, nil
	}
	entries, err := os.ReadDir(dir)
	return slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return strings.HasPrefix(e.Name(), ".") }), err
}

// isFile follows a link, but only to a file: links to folders can go in
// circles. A link that leads nowhere counts too, so that it is named as a failure.
func isFile(p string, e fs.DirEntry) bool {
	if e.Type()&fs.ModeSymlink == 0 {
		return e.Type().IsRegular()
	}
	info, err := os.Stat(p)
	return err != nil || info.Mode().IsRegular()
}
