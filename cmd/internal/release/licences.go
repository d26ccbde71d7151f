package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// component is something the program is made of, with what it may be given on under.
type component struct {
	name    string
	version string // empty for what is inside another component
	texts   []text
}

type text struct{ file, body string }

// packageInfo is what the Go command tells of a package.
type packageInfo struct {
	ImportPath, Dir string
	Standard        bool
	Module          *module
	EmbedFiles      []string
}

type module struct {
	Path, Version, Dir string
	Main               bool
	Replace            *module
}

// inside is a file that a module embeds and that others wrote: the texts of it are in the
// folder of that name, see embedded/README.md. An empty name is a file that the module's own
// licence covers.
type inside struct{ name, sha256, texts string }

//go:embed embedded/*/*.txt
var embeddedTexts embed.FS

var insides = map[string]inside{
	"github.com/klippa-app/go-pdfium/internal/pdfium_wasm/pdfium.wasm":       {"PDFium, as WebAssembly", "e6f77e01dce34de05ad62515114152da580b64c23871e3e3e2afef3f7bb88ade", "pdfium"},
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model/resources/Roboto-Regular.ttf": {"the font Roboto", "017c0be9aaa6d0359737e1fa762ad304c0e0107927faff5a6c1f415c7f5244ed", "roboto"},
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model/resources/config.yml":         {},
	gofonts + "/goregular/data.go":                                           {"the font Go Regular", "3c5bc52e0342e5d9f50f90cb331b64bc2227b88def55d23ed1112a71f84b821c", "gofonts"},
	gofonts + "/gobold/data.go":                                              {"the font Go Bold", "fc7962ee60b083d84f22a643e1cb835735c32b48d48916a8b183b5b4571882e2", "gofonts"},
	gofonts + "/goitalic/data.go":                                            {"the font Go Italic", "02ca8ee69646b7a21a4588aea1afc77c48275a4d313edc79ae91635ca4e24ef8", "gofonts"},
	gofonts + "/gosmallcaps/data.go":                                         {"the font Go Smallcaps", "96712d6f2c8d5f0652f498045a1f86c200fa8d6ed568538bcb208a50406dda4b", "gofonts"},
}

// gofonts is the folder of packages that are fonts: written as Go, not embedded, and under a notice that their
// module's licence does not hold.
const gofonts = "golang.org/x/image/font/gofont"

// embeddedIn is the files of others in a package.
func embeddedIn(p packageInfo) []string {
	if path.Dir(p.ImportPath) == gofonts {
		return append(p.EmbedFiles, "data.go")
	}
	return p.EmbedFiles
}

// licenceName is a file that says under what something may be given on, or what has to be told with it.
var licenceName = regexp.MustCompile(`(?i)^(licen[cs]es?|unlicense|copying|copyright|notice|patents)([._-].*)?$`)

// collectComponents finds everything that is linked into the program on any of the platforms. A
// component without a licence is an error, and so is a file inside one that nobody has looked at.
func collectComponents(ctx context.Context, on []platform) ([]component, error) {
	dirs := map[module][]string{} // the folders of the packages that are linked
	var standard bool
	var faults []error
	parts := map[string]component{}
	for _, p := range on {
		listed, err := runCommand(goCommand(ctx, p, "list", "-deps", "-json=ImportPath,Dir,Standard,Module,EmbedFiles", "foldwright/cmd/foldwright"))
		if err != nil {
			return nil, err
		}
		for decoder := json.NewDecoder(bytes.NewReader(listed)); ; {
			var info packageInfo
			if err := decoder.Decode(&info); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				return nil, err
			}
			switch {
			case info.Standard:
				standard = true
				continue
			case info.Module == nil:
				return nil, fmt.Errorf("%s is of no module", info.ImportPath)
			}
			m := *cmp.Or(info.Module.Replace, info.Module)
			m.Main, m.Replace = info.Module.Main, nil
			if !slices.Contains(dirs[m], info.Dir) {
				dirs[m] = append(dirs[m], info.Dir)
			}
			if !m.Main {
				for _, name := range embeddedIn(info) {
					found, err := lookInside(info.ImportPath, info.Dir, name)
					faults = append(faults, err)
					for _, c := range found {
						parts[c.name] = c
					}
				}
			}
		}
	}
	for m, packages := range dirs {
		texts, err := textsOf(m.Dir, packages)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s %s: %w", m.Path, m.Version, err))
		}
		parts[m.Path] = component{m.Path, m.Version, texts}
	}
	if standard {
		c, err := standardLibrary(ctx, on[0])
		faults = append(faults, err)
		parts[c.name] = c
	}
	return slices.SortedFunc(maps.Values(parts), compareComponents), errors.Join(faults...)
}

// compareComponents puts our own before those of others.
func compareComponents(a, b component) int {
	own := func(c component) int {
		if c.name == "foldwright" {
			return 0
		}
		return 1
	}
	return cmp.Or(cmp.Compare(own(a), own(b)), cmp.Compare(strings.ToLower(a.name), strings.ToLower(b.name)))
}

// textsOf is the licence files of a module: in its root, where one has to be, and in the folders
// of packages that are linked, and above these.
func textsOf(root string, packages []string) ([]text, error) {
	looked := map[string]bool{}
	for _, dir := range append([]string{root}, packages...) {
		for ; !looked[dir] && (dir == root || strings.HasPrefix(dir, root+string(filepath.Separator))); dir = filepath.Dir(dir) {
			looked[dir] = true
		}
	}
	var texts []text
	licensed := false
	for _, dir := range slices.Sorted(maps.Keys(looked)) {
		entries, err := os.ReadDir(dir)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			if e.IsDir() || filepath.Ext(e.Name()) == ".go" || !licenceName.MatchString(e.Name()) {
				continue
			}
			body, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				return nil, err
			}
			name, err := filepath.Rel(root, filepath.Join(dir, e.Name()))
			if err != nil {
				return nil, err
			}
			texts = append(texts, text{filepath.ToSlash(name), clean(body)})
			kind := strings.ToLower(e.Name())
			licensed = licensed || dir == root && !strings.HasPrefix(kind, "notice") && !strings.HasPrefix(kind, "patents") && len(bytes.TrimSpace(body)) > 0
		}
	}
	if !licensed {
		return nil, errors.New("there is no licence in its folder")
	}
	return texts, nil
}

// clean is a text with the same ends of lines everywhere.
func clean(body []byte) string {
	return strings.TrimSpace(strings.ReplaceAll(string(body), "\r\n", "\n")) + "\n"
}

// lookInside is the components in a file that a package embeds.
func lookInside(pkg, dir, name string) ([]component, error) {
	known, ok := insides[pkg+"/"+name]
	if !ok {
		return nil, fmt.Errorf("%s embeds %s, and nobody has said under what licence: look at it, and add it in licences.go", pkg, name)
	}
	if known.texts == "" {
		return nil, nil
	}
	body, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		return nil, err
	}
	if sum := fmt.Sprintf("%x", sha256.Sum256(body)); sum != known.sha256 {
		return nil, fmt.Errorf("%s in %s is another than was looked at: see whether embedded/%s still says what is in it, then note %s in licences.go", name, pkg, known.texts, sum)
	}
	names, err := fs.Glob(embeddedTexts, path.Join("embedded", known.texts, "*.txt"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("there are no texts for %s: %w", known.name, err)
	}
	var parts []component
	for _, file := range names {
		body, err := embeddedTexts.ReadFile(file)
		if err != nil {
			return nil, err
		}
		part := strings.TrimSuffix(path.Base(file), ".txt")
		c := component{name: known.name, texts: []text{{path.Base(file), clean(body)}}}
		if part != known.texts {
			c.name += ": " + part
		}
		parts = append(parts, c)
	}
	return parts, nil
}

// standardLibrary is what Go itself puts into every program.
func standardLibrary(ctx context.Context, p platform) (component, error) {
	told, err := runCommand(goCommand(ctx, p, "env", "GOROOT", "GOVERSION"))
	if err != nil {
		return component{}, err
	}
	lines := strings.Split(strings.TrimSpace(string(told)), "\n")
	if len(lines) != 2 {
		return component{}, fmt.Errorf("the Go command tells %q of itself", told)
	}
	texts, err := textsOf(filepath.Clean(lines[0]), nil)
	return component{"Go, its library and runtime", lines[1], texts}, err
}

//go:embed text/licences.txt
var licencesHead string

// licencesText is all components with their texts. What several have in common stands there once.
func licencesText(parts []component) string {
	type entry struct {
		body string
		of   []string
	}
	var entries []*entry
	index := map[string]*entry{}
	var out strings.Builder
	out.WriteString(licencesHead)
	for _, c := range parts {
		name := strings.TrimSpace(c.name + " " + c.version)
		fmt.Fprintf(&out, "  %s\n", name)
		for _, t := range c.texts {
			e := index[t.body]
			if e == nil {
				e = &entry{body: t.body}
				index[t.body] = e
				entries = append(entries, e)
			}
			e.of = append(e.of, name+", "+t.file)
		}
	}
	for _, e := range entries {
		fmt.Fprintf(&out, "\n%s\n%s\n%s\n\n%s", rule, strings.Join(e.of, "\n"), rule, e.body)
	}
	return out.String()
}

var rule = strings.Repeat("=", 78)
