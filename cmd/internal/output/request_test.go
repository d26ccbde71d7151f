package output

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"foldwright/cmd/internal/binding/structure"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/profiles"
	"foldwright/reorder"
	"foldwright/reorder/geom"
	"foldwright/reorder/refusal"
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
	check("Options", reflect.TypeFor[options.Options]())
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
	set := options.Setting{Profiles: profiles.Store{Dir: dir}, Region: "GB", Version: "1"}
	seen := map[string]string{}
	expect := func(what, source string, o options.Options, set options.Setting) {
		t.Helper()
		resolved, err := o.Resolve(set)
		if err != nil {
			t.Fatal(err)
		}
		sum := resolved.Request.Of(source)
		if before, ok := seen[sum]; ok {
			t.Errorf("%s and %s are one request", what, before)
		}
		seen[sum] = what
	}
	expect("plain", "a.pdf", options.Options{}, set)
	expect("another name", "b.pdf", options.Options{}, set)
	expect("an option", "a.pdf", options.Options{Sheets: 5}, set)
	expect("a switch", "a.pdf", options.Options{CutOverhang: true}, set)
	expect("the printer that is assumed, named", "a.pdf", options.Options{Printer: profiles.Guess}, set)
	expect("a profile", "a.pdf", options.Options{Printer: "desk"}, set)
	desk("5")
	expect("the profile, changed", "a.pdf", options.Options{Printer: "desk"}, set)
	proved := set
	proved.Proof = true
	expect("the same, proved", "a.pdf", options.Options{}, proved)
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
	expect("a structure", "a.pdf", options.Options{Structure: filepath.Join(dir, "mine.yaml")}, set)
	rules("4mm")
	expect("the structure, changed", "a.pdf", options.Options{Structure: filepath.Join(dir, "mine.yaml")}, set)
	set.Version = "2"
	expect("another version", "a.pdf", options.Options{}, set)
	set.Region = "US"
	expect("another region's paper", "a.pdf", options.Options{}, set)

	set = options.Setting{Region: "FR", Version: "1"}
	if resolved, err := (options.Options{}).Resolve(set); err != nil || seen[resolved.Request.Of(filepath.Join("elsewhere", "a.pdf"))] != "plain" {
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
		if err := os.WriteFile(filepath.Join(dir, plan.File), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if got := plan.IsOurs(dir); got != want {
			t.Errorf("%s: %t", text, got)
		}
	}
	if plan.IsOurs(t.TempDir()) {
		t.Error("an empty folder is ours")
	}
}

// TestMadeIsReadFromAnyPlan reads plans in their own order and in another, and
// plans that are damaged.
func TestMadeIsReadFromAnyPlan(t *testing.T) {
	dir := t.TempDir()
	p := plan.Plan{Made: plan.Made{
		Record: plan.Record{
			Kind: plan.Kind, Format: plan.Format, ProgramVersion: "1", Source: plan.Source{File: "tides.pdf", SHA256: "ab", Pages: 9, Path: "../shelf/tides.pdf"},
			Files: []plan.Entry{{Name: "run-01-front.pdf", SHA256: "ef", Bytes: 7}},
		},
		Request: "cd", Paper: plan.Paper{Paper: reorder.Paper{Name: "iso_a4_210x297mm", Size: geom.Size{W: 210, H: 297}}}, Sheets: 3, Warnings: []string{"} is no end"},
	}, Gatherings: []plan.Gathering{{Number: 1, Pages: []int{1, 2}}}}
	p.Profile.Name = "desk"
	text, err := plan.Encode(p)
	if err != nil {
		t.Fatal(err)
	}
	var loose map[string]any
	if err := json.Unmarshal(text, &loose); err != nil {
		t.Fatal(err)
	}
	sorted, err := json.Marshal(loose) // by key
	if err != nil {
		t.Fatal(err)
	}
	read := func(text []byte) (plan.Brief, error) {
		if err := os.WriteFile(filepath.Join(dir, plan.File), text, 0o600); err != nil {
			t.Fatal(err)
		}
		return plan.ReadBrief(dir)
	}
	want := plan.Brief{Made: p.Made, Profile: struct{ Name string }{"desk"}}
	for order, text := range map[string][]byte{"its own": text, "another": sorted} {
		if got, err := read(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("in %s order: %+v, %v", order, got, err)
		}
	}
	for what, text := range map[string][]byte{
		"empty":           nil,
		"a list":          []byte("[]"),
		"cut":             text[:len(text)-3],
		"cut early":       text[:100],
		"another kind":    bytes.Replace(text, []byte(plan.Kind), []byte("a plan"), 1),
		"another type":    bytes.Replace(text, []byte(`"sheets": 3`), []byte(`"sheets": "3"`), 1),
		"no object":       []byte("} {}"),
		"nothing in it":   []byte("{}"),
		"a key too short": []byte(`{"kind": "` + plan.Kind + `", "format" 1}`),
	} {
		if got, err := read(text); refusal.Of(err) != refusal.Plan {
			t.Errorf("%s: %+v, %v", what, got, err)
		}
	}
}
