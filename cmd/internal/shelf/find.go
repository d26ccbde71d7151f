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
	"foldwright/reorder/phrase"
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
func FindTitles(folder, out string, settings []phrase.Setting) (Shelf, error) {
	var t Title
	if err := t.set(settings); err != nil {
		return Shelf{}, err
	}
	options, err := readSettings(t.Settings)
	if err != nil {
		return Shelf{}, err
	}
	if options.Blank > 0 {
		return Shelf{}, refuseFolder(folder, "holds PDFs, and a blank book is made of none")
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
		return Shelf{}, refuseFolder(folder, "holds no PDF, and neither do its subfolders")
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

// search finds the files that a pattern means, with / between its parts: * ? [a-z] as
// in a shell, and ** for any folders or none. What is found by such a letter at
// the end is a file that ends in .pdf. The result is sorted. Folders are not
// reached through links, which can go in circles, unless they stand in the pattern
// before its first such letter.
func search(folder, pattern string) ([]string, error) {
	parts := strings.Split(lowerExtension(pattern), "/")
	for _, part := range parts {
		if _, err := path.Match(part, ""); err != nil {
			return nil, fmt.Errorf("%q is not a pattern: %w", pattern, err)
		}
	}
	// ** twice means what it means once, and would be looked for in every pair of folders.
	parts = slices.CompactFunc(parts, func(a, b string) bool { return a == "**" && b == "**" })
	for len(parts) > 1 && !isPattern(parts[0]) {
		folder, parts = filepath.Join(folder, parts[0]), parts[1:]
	}
	real, err := filepath.EvalSymlinks(folder)
	if err != nil {
		return nil, nil // then it holds nothing
	}
	onlyPDF := isPattern(parts[len(parts)-1])
	var found []string
	err = filepath.WalkDir(real, func(at string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		below, _ := filepath.Rel(real, at)
		names := strings.Split(lowerExtension(filepath.ToSlash(below)), "/")
		hidden := at != real && strings.HasPrefix(e.Name(), ".") // as folders are that are just being written
		tooDeep := at != real && len(names) >= len(parts) && !slices.Contains(parts, "**")
		switch {
		case e.IsDir() && (hidden || tooDeep || plan.IsOurs(at)):
			return fs.SkipDir
		case !hidden && matches(parts, names) && isFile(at, e) && (!onlyPDF || strings.HasSuffix(names[len(names)-1], pdfExtension)):
			found = append(found, filepath.Join(folder, below))
		}
		return nil
	})
	slices.Sort(found)
	return found, err
}

// matches tells whether the parts of a path are what those of a pattern mean.
func matches(pattern, names []string) bool {
	switch {
	case len(pattern) == 0 || len(names) == 0:
		return len(pattern)+len(names) == 0
	case pattern[0] == "**" && len(pattern) > 1:
		return matches(pattern[1:], names) || matches(pattern, names[1:])
	}
	one, _ := path.Match(pattern[0], names[0]) // its errors are found before
	return one && matches(pattern[1:], names[1:])
}

const pdfExtension = ".pdf"

// lowerExtension writes the ending of a PDF's name small: *.pdf means A.PDF too.
func lowerExtension(name string) string {
	if at := len(name) - len(pdfExtension); at >= 0 && strings.EqualFold(name[at:], pdfExtension) {
		return name[:at] + pdfExtension
	}
	return name
}

// isFile follows a link to a file. A link that leads nowhere counts too, so that it
// is named as a failure.
func isFile(p string, e fs.DirEntry) bool {
	if e.Type()&fs.ModeSymlink == 0 {
		return e.Type().IsRegular()
	}
	info, err := os.Stat(p)
	return err != nil || info.Mode().IsRegular()
}
