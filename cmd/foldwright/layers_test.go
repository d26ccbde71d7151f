package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layers are the packages that may not look up: each may import those after it
// in the list, and the standard library.
var layers = []string{"foldwright/profiles", "foldwright/printer", "foldwright/reorder"}

// only says who alone may import a module.
var only = map[string][]string{
	"github.com/pdfcpu/pdfcpu":        {"foldwright/cmd/internal/pdf", "foldwright/cmd/internal/secondreader"},
	"github.com/klippa-app/go-pdfium": {"foldwright/cmd/internal/render"},
	"github.com/schollz/progressbar":  {"foldwright/cmd/internal/progress"},
	"github.com/spf13/cobra":          {"foldwright/cmd/internal/cli"},
	"github.com/OpenPrinting/goipp":   {"foldwright/cmd/internal/ipp", "foldwright/cmd/internal/testkit/ipptest"},
	"github.com/hashicorp/mdns":       {"foldwright/cmd/internal/ipp"},
	"github.com/gofrs/flock":          {"foldwright/profiles/lock"},
	"github.com/jeandeaual/go-locale": {"foldwright/cmd/internal/options"},
}

// TestImportsOnlyGoDown keeps the shape of the code: profiles -> printer ->
// reorder, cmd above all, reorder and printer without files, PDF or flags, but for what is for tests.
func TestImportsOnlyGoDown(t *testing.T) {
	for pkg, imports := range importsOf(t, "../..") {
		for i, layer := range layers {
			if !within(pkg, layer) {
				continue
			}
			for path := range imports {
				for _, above := range append(layers[:i:i], "foldwright/cmd") {
					if within(path, above) {
						t.Errorf("%s imports %s, which lies above it", pkg, path)
					}
				}
			}
		}
		forTests := imports["testing"]
		if !forTests && (within(pkg, "foldwright/reorder") || within(pkg, "foldwright/printer")) {
			for path := range imports {
				if path == "os" || path == "io" || path == "flag" || strings.Contains(path, ".") {
					t.Errorf("%s imports %s: it is arithmetic on paper", pkg, path)
				}
			}
		}
		for path := range imports {
			for module, owners := range only {
				owns := func(owner string) bool { return within(pkg, owner) }
				if within(path, module) && !slices.ContainsFunc(owners, owns) {
					t.Errorf("%s imports %s, only %s may", pkg, path, strings.Join(owners, " and "))
				}
			}
		}
	}
}

// oneWay is the rooms through which a job goes: each may import only those before it.
// What they stand on, in pdf and render, knows points and lengths and no planner.
var oneWay = []string{"options", "survey", "plan", "output"}

// TestDataGoesOneWay keeps a room from asking one that comes after it.
func TestDataGoesOneWay(t *testing.T) {
	imports := importsOf(t, "../..")
	const rooms = "foldwright/cmd/internal/"
	for i, room := range oneWay {
		if imports[rooms+room] == nil {
			t.Errorf("there is no room %s", room)
		}
		for _, later := range append(oneWay[i+1:], "inspect", "proof", "shelf", "cli") {
			if imports[rooms+room][rooms+later] {
				t.Errorf("%s imports %s, which comes after it", room, later)
			}
		}
	}
	for _, below := range []string{"pdf", "render"} {
		for path := range imports[rooms+below] {
			if within(path, "foldwright/reorder") && !slices.Contains([]string{"foldwright/reorder/geom", "foldwright/reorder/phrase", "foldwright/reorder/refusal"}, path) {
				t.Errorf("%s imports %s", below, path)
			}
		}
	}
}

// TestTopLevel keeps the root of the repository to what it is meant to hold.
func TestTopLevel(t *testing.T) {
	allowed := map[string]bool{
		"cmd": true, "reorder": true, "printer": true, "profiles": true, "testdata": true,
		"go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true, "LICENSE": true,
	}
	entries, err := os.ReadDir("../..")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, e := range entries {
		name := e.Name()
		if allowed[name] {
			found++
			continue
		}
		if !strings.HasPrefix(name, ".") && !strings.HasSuffix(name, "-print") {
			t.Errorf("%s does not belong at the top", name)
		}
	}
	if found != len(allowed) {
		t.Errorf("%d of the %d entries of the top level are there", found, len(allowed))
	}
}

func within(path, module string) bool {
	return path == module || strings.HasPrefix(path, module+"/")
}

// eachFile visits the Go files of the module that are no tests.
func eachFile(t *testing.T, root string, visit func(pkg, path string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		dir, err := filepath.Rel(root, filepath.Dir(path))
		if err == nil {
			visit("foldwright/"+filepath.ToSlash(dir), path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// importsOf is what each package of the module imports outside its tests.
func importsOf(t *testing.T, root string) map[string]map[string]bool {
	t.Helper()
	out := map[string]map[string]bool{}
	eachFile(t, root, func(pkg, path string) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly)
		if err != nil {
			t.Fatal(err)
		}
		if out[pkg] == nil {
			out[pkg] = map[string]bool{}
		}
		for _, i := range file.Imports {
			name, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			out[pkg][name] = true
		}
	})
	if len(out) < 8 {
		t.Fatalf("only %d packages found", len(out))
	}
	return out
}

// TestOnlyCliNamesFlags: elsewhere an option is a value, a phrase.Setting, which each surface
// writes in its own way.
func TestOnlyCliNamesFlags(t *testing.T) {
	flag := regexp.MustCompile(`(^|[^-a-z(])--[a-z][a-z-]*([^-a-z:]|$)|^--$`)
	texts := 0
	eachFile(t, "../..", func(pkg, path string) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING || pkg == "foldwright/cmd/internal/cli" {
				return true
			}
			texts++
			if text, err := strconv.Unquote(lit.Value); err != nil || flag.MatchString(text) {
				t.Errorf("%s: %s names a flag", path, lit.Value)
			}
			return true
		})
	})
	if texts < 1000 {
		t.Errorf("only %d texts were looked at", texts)
	}
}
