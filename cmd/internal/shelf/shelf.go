package shelf

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"foldwright/profiles/strict"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
	"foldwright/reorder/refusal"
)

// Shelf is the titles that are prepared together.
type Shelf struct {
	Name   string // of the worklist or folder, for the report
	Out    string // the folder that holds the report and, usually, the titles
	Titles []Title
	file   string // path of the worklist, for errors; empty: none
}

// Of is the part of a shelf that belongs to a share.
func (s Shelf) Of(share Share) Shelf {
	s.Titles = slices.DeleteFunc(slices.Clone(s.Titles), func(t Title) bool { return !share.Has(t.Name) })
	return s
}

// Find is the title of a name, or in a folder's case of a file in it.
func (s Shelf) Find(name string) (Title, bool) {
	i := slices.IndexFunc(s.Titles, func(t Title) bool { return t.Name == name || t.Name == stem(filepath.ToSlash(name)) })
	if i < 0 {
		return Title{}, false
	}
	return s.Titles[i], true
}

// guess says which title was likely meant by a name that none has.
func (s Shelf) guess(name string) string {
	names := lists.Map(s.Titles, func(t Title) string { return t.Name })
	if near := strict.Nearest(name, names); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	const shown = 5
	if more := len(names) - shown; more > 0 {
		return fmt.Sprintf("its titles are %s and %d more", strings.Join(names[:shown], ", "), more)
	}
	return "its titles are " + strings.Join(names, ", ")
}

// check refuses, before anything is written, titles that would write to one
// place or into each other, and places that hold a source.
func (s Shelf) check() error {
	known := map[string]string{}
	follow := func(path string) string {
		if known[path] == "" {
			known[path] = realPath(path)
		}
		return known[path]
	}
	owners := map[string]*Title{}
	for i := range s.Titles {
		t := &s.Titles[i]
		place := follow(t.Place)
		if o := owners[place]; o != nil {
			return s.clash(t, "%s and %s would both be written to %s", s.describe(o), s.describe(t), t.Place)
		}
		owners[place] = t
	}
	ownerAt := func(dir string) *Title {
		for owners[dir] == nil && dir != filepath.Dir(dir) {
			dir = filepath.Dir(dir)
		}
		return owners[dir]
	}
	for i := range s.Titles {
		t := &s.Titles[i]
		if o := ownerAt(filepath.Dir(follow(t.Place))); o != nil {
			return s.clash(t, "%s would be written into %s, the folder of %s", s.describe(t), o.Place, s.describe(o))
		}
		for _, file := range t.Files() {
			if o := ownerAt(follow(filepath.Dir(file))); o != nil {
				return s.clash(t, "the source %s lies in %s, the folder of %s", file, o.Place, s.describe(o))
			}
		}
	}
	return nil
}

// describe names a title by its source, and its line where there is one.
func (s Shelf) describe(t *Title) string {
	if t.line > 0 {
		return fmt.Sprintf("%s (line %d)", t.Source, t.line)
	}
	return t.Source
}

// exampleCommand shows how a worklist is written.
var exampleCommand = phrase.Command{Name: "batch", Settings: []phrase.Setting{phrase.Set("example")}}

// clash says that two titles of a shelf, or a title and a source, would be in each
// other's way.
func (s Shelf) clash(t *Title, format string, args ...any) error {
	clash := refusal.Use.New(format, args...).Advise("give one of them another name or out in a worklist, see %s", exampleCommand)
	if s.file == "" {
		return clash
	}
	return refuse(s.file, t.line, clash)
}

// realPath makes paths comparable: absolute, through links as far as it exists,
// and in one case where file systems usually don't tell cases apart.
func realPath(p string) string {
	p = makeAbsolute(p)
	if real, err := filepath.EvalSymlinks(p); err == nil {
		p = real
	} else if above := filepath.Dir(p); above != p {
		p = filepath.Join(realPath(above), filepath.Base(p))
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" {
		p = strings.ToLower(p)
	}
	return p
}

// Share is the fixed part of a shelf that one machine of several takes: part
// K of N, counted from 1. The zero value is the whole shelf.
type Share struct{ K, N int }

// Has tells whether a title of this name belongs to the share. It depends on
// nothing but the name, so titles that come or go don't move others.
func (s Share) Has(name string) bool {
	if s.N == 0 {
		return true
	}
	sum := sha256.Sum256([]byte(name))
	return binary.BigEndian.Uint64(sum[:])%uint64(s.N) == uint64(s.K-1)
}

func (s Share) String() string {
	if s.N == 0 {
		return ""
	}
	return fmt.Sprintf("%d/%d", s.K, s.N)
}

// UnmarshalText reads K/N.
func (s *Share) UnmarshalText(text []byte) error {
	first, last, slash := strings.Cut(string(text), "/")
	k, errK := strconv.Atoi(first)
	n, errN := strconv.Atoi(last)
	if !slash || errK != nil || errN != nil || k < 1 || k > n {
		return refusal.Use.New("%q is not a share: use for example 3/16, from 1/16 to 16/16", text)
	}
	*s = Share{k, n}
	return nil
}

func (s Share) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
