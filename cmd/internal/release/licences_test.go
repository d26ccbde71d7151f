package main

import (
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
)

// TestEveryLinkedModuleHasItsLicence asks the Go command in another way what is linked, and finds
// the text of each in what is given with the program.
func TestEveryLinkedModuleHasItsLicence(t *testing.T) {
	host := platform{runtime.GOOS, runtime.GOARCH}
	parts, err := collectComponents(t.Context(), []platform{host})
	if err != nil {
		t.Fatal(err)
	}
	told := licencesText(parts)
	linked, err := runCommand(goCommand(t.Context(), host, "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", "foldwright/cmd/foldwright"))
	if err != nil {
		t.Fatal(err)
	}
	modules := strings.Split(strings.TrimSpace(string(linked)), "\n")
	if len(modules) < 100 { // a line for each package
		t.Fatalf("only %d packages are linked", len(modules))
	}
	own, err := os.ReadFile("../../../LICENSE")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(told, string(own)) {
		t.Error("our own licence is not told")
	}
	for _, m := range append(modules, "Go, its library and runtime go", "PDFium, as WebAssembly: freetype", "the font Roboto", "the font Go Regular", "the font Go Smallcaps") {
		if !regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(m) + `[^ ]*, [^ ]+$`).MatchString(told) {
			t.Errorf("%s has no text", m)
		}
	}
	allows := regexp.MustCompile(`(?i)permi(t|ssion)|licen[cs]e|redistribut`)
	for _, c := range parts {
		if len(c.texts) == 0 || !allows.MatchString(c.texts[0].body) {
			t.Errorf("%s %s: %v allows nothing", c.name, c.version, c.texts)
		}
	}
}

// put writes files below a folder.
func put(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, body := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(body), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestModuleWithoutLicenceIsRefused(t *testing.T) {
	for name, files := range map[string]map[string]string{
		"nothing":           {"a.go": "package a"},
		"an empty one":      {"LICENSE": " \n"},
		"a notice only":     {"NOTICE": "made by somebody"},
		"patents only":      {"PATENTS": "none"},
		"in a folder only":  {"linked/LICENSE": "permission is granted"},
		"a program of that": {"license.go": "package licence"},
		"a folder of that":  {"LICENSE/text": "permission is granted"},
	} {
		dir := put(t, files)
		if texts, err := textsOf(dir, []string{filepath.Join(dir, "linked")}[:len(files["linked/LICENSE"])&1]); err == nil {
			t.Errorf("%s: taken as licensed by %v", name, texts)
		}
	}
}

func TestTextsOfWhatIsLinked(t *testing.T) {
	dir := put(t, map[string]string{
		"LICENCE.md": "permission\r\nis granted", "NOTICE": "made by somebody", "linked/part/COPYING": "another", "linked/part/x.go": "package x",
		"testdata/LICENSE": "not linked", "other/LICENSE": "not linked",
	})
	texts, err := textsOf(dir, []string{filepath.Join(dir, "linked", "part")})
	if err != nil {
		t.Fatal(err)
	}
	want := []text{{"LICENCE.md", "permission\nis granted\n"}, {"NOTICE", "made by somebody\n"}, {"linked/part/COPYING", "another\n"}}
	if len(texts) != len(want) {
		t.Fatalf("%v", texts)
	}
	for i, w := range want {
		if texts[i] != w {
			t.Errorf("%v, want %v", texts[i], w)
		}
	}
}

func TestWhatIsInsideHasBeenLookedAt(t *testing.T) {
	dir := put(t, map[string]string{"Roboto-Regular.ttf": "another font", "config.yml": "x: 1"})
	const pkg = "github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model/resources"
	if parts, err := lookInside(pkg, dir, "Roboto-Regular.ttf"); err == nil || !strings.Contains(err.Error(), "is another than was looked at") {
		t.Errorf("%v, %v", parts, err)
	}
	if parts, err := lookInside("example.org/other", dir, "config.yml"); err == nil || !strings.Contains(err.Error(), "nobody has said") {
		t.Errorf("%v, %v", parts, err)
	}
	if parts, err := lookInside(pkg, dir, "config.yml"); err != nil || parts != nil {
		t.Errorf("%v, %v", parts, err)
	}
}

func TestTextsInCommonStandOnce(t *testing.T) {
	told := licencesText([]component{
		{"one", "v1", []text{{"LICENSE", "the same words\n"}}}, {"two", "v2", []text{{"LICENSE", "the same words\n"}, {"NOTICE", "more words\n"}}},
	})
	for part, want := range map[string]int{"the same words": 1, "more words": 1, "\none v1, LICENSE\ntwo v2, LICENSE\n": 1, "two v2, NOTICE": 1, "\n  one v1\n  two v2\n": 1} {
		if got := strings.Count(told, part); got != want {
			t.Errorf("%q stands there %d times, want %d:\n%s", part, got, want, told)
		}
	}
}
