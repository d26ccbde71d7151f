package main

import (
	"bytes"
	"context"
	"embed"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/template"
)

// file is a file of a release, or in one of its archives; its name has slashes, at the end that of a folder.
type file struct {
	name string
	body []byte
	runs bool // it is a program
}

func (f file) mode() fs.FileMode {
	switch {
	case strings.HasSuffix(f.name, "/"):
		return fs.ModeDir | 0o755
	case f.runs:
		return 0o755
	}
	return 0o644
}

// sortByName sorts files by their names.
func sortByName(files []file) []file {
	return slices.SortedFunc(slices.Values(files), func(a, b file) int { return strings.Compare(a.name, b.name) })
}

// foldersOf is every folder that files lie in, those above first.
func foldersOf(files []file) (folders []file) {
	seen := map[string]bool{}
	for _, f := range files {
		for i, c := range f.name {
			if dir := f.name[:i+1]; c == '/' && !seen[dir] {
				seen[dir] = true
				folders = append(folders, file{name: dir})
			}
		}
	}
	return sortByName(folders)
}

// addFolders puts files in order behind the folders that they lie in.
func addFolders(files []file) []file { return append(foldersOf(files), sortByName(files)...) }

// content is what the archives of all platforms have in common.
type content struct {
	licences string
	manuals  []file            // the manual pages, NAME.1
	complete map[string][]byte // for each shell
	example  []byte            // the demo book
	desktop  []byte            // the entry in a menu of programs
	icon     []byte
}

//go:embed text
var texts embed.FS

// gather asks the program for this machine for its manual pages and completions.
func (r release) gather(ctx context.Context, scratch string, parts []component) (c content, err error) {
	host := platform{runtime.GOOS, runtime.GOARCH}
	if !slices.Contains(platforms, host) {
		return c, fmt.Errorf("make the release on one of %v: it asks the program for its manual pages", platforms)
	}
	program := filepath.Join(scratch, host.String(), host.program())
	ask := func(args ...string) ([]byte, error) {
		cmd := exec.CommandContext(ctx, program, args...)
		cmd.Dir = scratch
		cmd.Env = append(os.Environ(), "HOME="+scratch, "XDG_CONFIG_HOME="+scratch)
		return runCommand(cmd)
	}
	if told, err := ask("version"); err != nil || !bytes.HasPrefix(told, []byte("foldwright "+r.version+" ")) {
		return c, fmt.Errorf("the program says that it is %q: %w", told, err)
	}
	// What the menu entry and the instructions start has to be there.
	if _, err := ask("help", "open"); err != nil {
		return c, err
	}
	if _, err := ask("man", "man"); err != nil {
		return c, err
	}
	pages, err := os.ReadDir(filepath.Join(scratch, "man"))
	if err != nil {
		return c, err
	}
	for _, p := range pages {
		body, err := os.ReadFile(filepath.Join(scratch, "man", p.Name()))
		if err != nil {
			return c, err
		}
		c.manuals = append(c.manuals, file{name: p.Name(), body: body})
	}
	c.complete = map[string][]byte{}
	for _, shell := range []string{"bash", "fish", "zsh"} {
		if c.complete[shell], err = ask("completion", shell); err != nil {
			return c, err
		}
	}
	if c.example, err = os.ReadFile(filepath.FromSlash("testdata/larkhaven.pdf")); err != nil {
		return c, err
	}
	if c.desktop, err = texts.ReadFile("text/foldwright.desktop"); err != nil {
		return c, err
	}
	if c.icon, err = texts.ReadFile("text/foldwright.svg"); err != nil {
		return c, err
	}
	c.licences = licencesText(parts)
	return c, nil
}

// fill is one of the texts with the facts of this release and platform in it.
func (r release) fill(name string, more map[string]any) ([]byte, error) {
	t, err := template.New(name).Option("missingkey=error").ParseFS(texts, "text/"+name)
	if err != nil {
		return nil, err
	}
	facts := map[string]any{"Version": r.version, "Commit": r.commit, "Go": runtime.Version(), "Day": r.time.Format("2 January 2006")}
	for k, v := range more {
		facts[k] = v
	}
	var out bytes.Buffer
	err = t.Execute(&out, facts)
	return out.Bytes(), err
}
