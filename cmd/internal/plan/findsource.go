package plan

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"foldwright/cmd/internal/survey"
	"foldwright/reorder"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// upwards begins every way from a folder to a source: the source never lies
// within what is made of it.
const upwards = "../"

// WayTo is the way from a folder to a file as a plan remembers it: relative,
// with forward slashes. It leads from one real folder to another, so that no
// link on either side bends it, but keeps the file's name, which may be a link
// to a store where files have other names. It is empty where there is no such
// way, as between two drives, or where JSON could not hold it.
func WayTo(file, folder string) string {
	from, errFrom := realFolder(folder)
	to, errTo := realFolder(filepath.Dir(file))
	if errFrom != nil || errTo != nil {
		return ""
	}
	way, err := filepath.Rel(from, filepath.Join(to, filepath.Base(file)))
	if err != nil || !utf8.ValidString(way) {
		return ""
	}
	return filepath.ToSlash(way)
}

func realFolder(dir string) (string, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	return filepath.EvalSymlinks(abs)
}

// FindSource finds the PDF that a folder was prepared from: where it was then,
// else beside the folder, else in the current one. If files lie at several of
// these places, the first with the right digest is taken. It is
// refused if there is none; whether the only one is the right one is not
// looked at.
func FindSource(folder string, source Source) (string, error) {
	name := filepath.Base(source.File)
	places := []string{filepath.Join(folderAbove(folder), name), name}
	missing := "is neither beside the folder nor in the current one"
	if then := source.placeThen(folder); then != "" && !slices.Contains(places, then) {
		places = slices.Insert(places, 0, then)
		missing = "is neither at " + then + " nor beside the folder nor in the current one"
	}
	var there []string
	for _, path := range places {
		if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
			there = append(there, path)
		}
	}
	switch len(there) {
	case 0:
		return "", refuseSource(name, missing)
	case 1:
		return there[0], nil
	}
	for _, path := range there {
		if sum, err := FileSHA256(path); err == nil && sum == source.SHA256 {
			return path, nil
		}
	}
	return there[0], nil
}

// FindSources finds the files that a folder was prepared from, in reading order, each as [FindSource] does.
func FindSources(folder string, source Source) ([]string, error) {
	var paths []string
	for _, part := range source.parts() {
		path, err := FindSource(folder, part)
		if err != nil {
			return nil, err
		}
		paths = append(paths, path)
	}
	return paths, nil
}

// PartOf is which of the files, from 0, holds a page of the source, and the page's number there.
func (s Source) PartOf(page int) (part, number int) {
	for _, p := range s.Parts {
		if page <= p.Pages {
			break
		}
		part, page = part+1, page-p.Pages
	}
	return part, page
}

// parts is the files of the source, in reading order.
func (s Source) parts() []Source {
	switch {
	case len(s.Parts) > 0:
		return s.Parts
	case s.Pages == 0:
		return nil
	}
	return []Source{s}
}

// CheckIs refuses files that are not those of the source, one after the other ([OtherSource]).
func (s Source) CheckIs(files *survey.Source) error {
	parts := s.parts()
	if n := len(files.Parts); n != len(parts) {
		return refusal.Source.New("the folder was prepared from %s, and %s given", reorder.Count(len(parts), "file"), textOfGiven(n)).
			Advise("name each of them with %s, in their order", phrase.Set("source"))
	}
	for i, p := range files.Parts {
		if p.SHA256() != parts[i].SHA256 {
			return OtherSource(p.Path())
		}
	}
	return nil
}

func textOfGiven(n int) string {
	if n == 1 {
		return "1 is"
	}
	return fmt.Sprintf("%d are", n)
}

// check refuses counts that cannot be, and parts that do not make the whole.
func (s Source) check() error {
	if s.Pages < 0 || s.Made < 0 || s.Pages > mostCount || s.Made > mostCount {
		return fmt.Errorf("its source has %d pages and %d more", s.Pages, s.Made)
	}
	pages := 0
	for i, p := range s.Parts {
		if p.Pages < 1 || p.Pages > mostCount || len(p.Parts) > 0 {
			return fmt.Errorf("entry %d of its source's parts cannot be", i+1)
		}
		pages += p.Pages
	}
	if len(s.Parts) == 1 || len(s.Parts) > 0 && pages != s.Pages {
		return fmt.Errorf("its source has %d pages, and its parts %d", s.Pages, pages)
	}
	return nil
}

// folderAbove is the folder in which a folder lies.
func folderAbove(folder string) string {
	folder = filepath.Clean(folder)
	if base := filepath.Base(folder); base == "." || base == ".." {
		if abs, err := filepath.Abs(folder); err == nil {
			folder = abs
		}
	}
	return filepath.Dir(folder)
}

// placeThen is where the source was when the folder was prepared, as it is
// reached from where the folder lies now; empty if the plan does not know. A plan
// may come from anywhere: what is no way of ours is not followed.
func (s Source) placeThen(folder string) string {
	if !strings.HasPrefix(s.Path, upwards) {
		return ""
	}
	start, err := filepath.EvalSymlinks(folder)
	if err != nil {
		return ""
	}
	return filepath.Join(start, filepath.FromSlash(s.Path))
}

// likelyFolder names the folder that is meant by a file, if it is found.
func likelyFolder(file string) phrase.Sentence {
	usual := OutputFolder(file)
	dir := filepath.Dir(file)
	likely := []string{dir, filepath.Join(dir, usual), usual}
	for _, made := range []string{"-proof-print", "-preview-print"} { // what lies beside a folder was made of it
		if book, ok := strings.CutSuffix(usual, made); ok {
			likely = append(likely, filepath.Join(dir, book+"-print"))
		}
	}
	for _, folder := range likely {
		if info, err := os.Stat(folder); err == nil && info.IsDir() && len(Files(folder)) > 0 {
			return phrase.New("give the folder %s", folder)
		}
	}
	if isPDF(file) {
		return phrase.New("prepare it first, with %s, and give the folder %s", phrase.Command{Name: "prepare", Arguments: []string{file}}, usual)
	}
	return phrase.New("give the folder that %s has written, such as BOOK-print", phrase.Command{Name: "prepare"})
}

func isPDF(path string) bool { return strings.EqualFold(filepath.Ext(path), ".pdf") }

// refuseSource says that the PDF from which a job was made is not at hand, and why.
func refuseSource(path, why string) error {
	return refusal.Source.New("%s: %s", path, why).
		Advise("name the PDF that the folder was prepared from with %s, or prepare the book again", phrase.Set("source"))
}

// OtherSource refuses a file whose digest is not that of the source.
func OtherSource(path string) error {
	return refuseSource(path, "is not the file that the folder was prepared from, or it has been changed since")
}
