package job

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/structure"
	"foldwright/profiles"
)

// TestOptionsAreValues keeps out of the options what has no text of its own: a
// pointer's address would make every request another one.
func TestOptionsAreValues(t *testing.T) {
	var check func(path string, typ reflect.Type)
	check = func(path string, typ reflect.Type) {
		switch typ.Kind() {
		case reflect.Pointer, reflect.Map, reflect.Func, reflect.Chan, reflect.Interface, reflect.UnsafePointer:
			t.Errorf("%s is a %s", path, typ.Kind())
		case reflect.Slice, reflect.Array:
			check(path+"[]", typ.Elem())
		case reflect.Struct:
			for i := range typ.NumField() {
				check(path+"."+typ.Field(i).Name, typ.Field(i).Type)
			}
		}
	}
	check("Options", reflect.TypeFor[Options]())
}

// TestRequestTellsJobsApart changes each thing that a folder follows from.
func TestRequestTellsJobsApart(t *testing.T) {
	dir := t.TempDir()
	desk := func(keepClear string) {
		text := "format: 1\nname: desk\ntwo-sided: automatic\nflip-edge: long\nkeep-clear: " + keepClear + "\n"
		if err := os.WriteFile(filepath.Join(dir, "desk.yaml"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	desk("4")
	set := Setting{Profiles: profiles.Store{Dir: dir}, Region: "GB", Version: "1"}
	seen := map[string]string{}
	expect := func(what, source string, o Options, set Setting) {
		t.Helper()
		asked, err := Ask(o, set)
		if err != nil {
			t.Fatal(err)
		}
		sum := asked.Of(source)
		if before, ok := seen[sum]; ok {
			t.Errorf("%s and %s are one request", what, before)
		}
		seen[sum] = what
	}
	expect("plain", "a.pdf", Options{}, set)
	expect("another name", "b.pdf", Options{}, set)
	expect("an option", "a.pdf", Options{Sheets: 5}, set)
	expect("a switch", "a.pdf", Options{Clip: true}, set)
	expect("the printer that is assumed, named", "a.pdf", Options{Printer: profiles.Guess}, set)
	expect("a profile", "a.pdf", Options{Printer: "desk"}, set)
	desk("5")
	expect("the profile, changed", "a.pdf", Options{Printer: "desk"}, set)
	proved := set
	proved.Proof = true
	expect("the same, proved", "a.pdf", Options{}, proved)
	rules := func(square string) {
		text, err := structure.Text("case")
		if err != nil {
			t.Fatal(err)
		}
		text = bytes.Replace(text, []byte("square: 1/8in"), []byte("square: "+square), 1)
		if err := os.WriteFile(filepath.Join(dir, "mine.yaml"), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	rules("3mm")
	expect("a structure", "a.pdf", Options{Structure: filepath.Join(dir, "mine.yaml")}, set)
	rules("4mm")
	expect("the structure, changed", "a.pdf", Options{Structure: filepath.Join(dir, "mine.yaml")}, set)
	set.Version = "2"
	expect("another version", "a.pdf", Options{}, set)
	set.Region = "US"
	expect("another region's paper", "a.pdf", Options{}, set)

	set = Setting{Region: "FR", Version: "1"}
	if asked, err := Ask(Options{}, set); err != nil || seen[asked.Of(filepath.Join("elsewhere", "a.pdf"))] != "plain" {
		t.Errorf("the same in another folder and another land with the same paper is another request: %v", err)
	}
}

func TestOurs(t *testing.T) {
	for text, want := range map[string]bool{
		`{"kind": "foldwright plan", "format": 1}`:        true,
		`{"kind":"foldwright test sheet"}`:                true,
		`{"kind": "foldwright plan", "format": 99, "x": `: true,
		`{"kind": "a diary"}`:                             false,
		`{"format": 1}`:                                   false,
		`["kind", "foldwright plan"]`:                     false,
		`{"kind": ["foldwright plan"]}`:                   false,
		``:                                                false,
	} {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, PlanFile), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if got := Ours(dir); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
	if Ours(t.TempDir()) {
		t.Error("an empty folder is ours")
	}
}
