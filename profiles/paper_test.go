package profiles

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"foldwright/profiles/strict/stricttest"
	"foldwright/reorder/refusal"
)

const ivory = "format: 1\nname: ivory\nsize: 320x450mm\n"

func TestPaperSavedIsReadAgain(t *testing.T) {
	s := Store{filepath.Join(t.TempDir(), "not", "made", "yet")}
	for _, p := range []Paper{
		{Name: "ivory", Size: "320x450mm", Caliper: 0.115, Grain: GrainLong, Tray: "manual", Note: "a # that YAML would take for a comment\nin two lines"},
		{Name: "Küche 2", Size: "a4"},
	} {
		path, err := s.SavePaper(p, false)
		if err != nil {
			t.Fatal(err)
		}
		p.Format = Format
		for _, value := range []string{p.Name, path} {
			if again, err := s.FindPaper(value); err != nil || !reflect.DeepEqual(again, p) {
				t.Errorf("%s: %+v, %v; want %+v", value, again, err, p)
			}
		}
		if _, err := s.SavePaper(p, false); !errors.Is(err, errPaperExists) {
			t.Errorf("saved over: %v", err)
		}
	}
	names, err := s.Papers()
	if err != nil || !reflect.DeepEqual(names, []string{"Küche 2", "ivory"}) {
		t.Errorf("%q, %v", names, err)
	}
	// Papers are no printers.
	if printers, err := s.Names(); err != nil || len(printers) != len(Builtin()) {
		t.Errorf("%q, %v", printers, err)
	}
	if err := s.RemovePaper("ivory"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.FindPaper("ivory"); refusal.Of(err) != refusal.Plan || refusal.Hint(err).String() != "yours are Küche 2" {
		t.Errorf("%v", err)
	}
	if err := s.RemovePaper("ivory"); refusal.Of(err) != refusal.Plan {
		t.Errorf("removed twice: %v", err)
	}
}

func TestPaperRefusals(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":        {"", "paper x.yaml: is empty"},
		"unknown key":  {ivory + "colour: red\n", `paper x.yaml, line 4: key "colour" is not known; the keys are format, name, size, caliper, grain, tray, note`},
		"key twice":    {ivory + "size: a4\n", `paper x.yaml, line 4: key "size" stands twice`},
		"no size":      {"format: 1\nname: ivory\n", "paper x.yaml: the size is missing"},
		"other format": {strings.Replace(ivory, "1", "2", 1), "paper x.yaml: format must be 1"},
		"size":         {strings.Replace(ivory, "320x450mm", "b5", 1), `paper "b5" could mean two sizes`},
		"grain":        {ivory + "grain: sideways\n", `paper x.yaml, line 4: grain cannot be "sideways": choose long or short`},
		"caliper":      {ivory + "caliper: 1.2\n", "caliper must be the thickness of one leaf in mm, between 0.02 and 1"},
		"not a number": {ivory + "caliper: .nan\n", "caliper must be the thickness"},
		"words":        {ivory + "caliper: thin\n", "paper x.yaml, line 4: caliper cannot be thin"},
		"tray":         {ivory + "tray: \"a\\eb\"\n", "cannot be read"},
		"name":         {strings.Replace(ivory, "ivory", "letter", 1), `"letter" cannot be a paper's name: it is the name of a size`},
	} {
		_, err := ParsePaper([]byte(c.text), "x.yaml")
		if refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

func TestPaperNames(t *testing.T) {
	s := Store{t.TempDir()}
	for _, bad := range []string{"", "a4", "B5", "A4", "210x297mm", "iso_a4_210x297mm", "a,b", "a/b", "x.yaml", "-x", "con", strings.Repeat("x", longestName+1)} {
		if err := checkPaperName(bad); refusal.Of(err) != refusal.Use {
			t.Errorf("%q: %v", bad, err)
		}
		if _, ok, err := s.LookUpPaper(bad); ok || err != nil && bad != "a/b" && bad != "x.yaml" {
			t.Errorf("%q is looked up as a paper: %v", bad, err)
		}
	}
	// A damaged file is told of, and not taken for none.
	if err := os.MkdirAll(filepath.Join(s.Dir, papersFolder), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(s.paperPath("ivory"), []byte("size: a4"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, ok, err := s.LookUpPaper("ivory"); ok || refusal.Of(err) != refusal.Plan {
		t.Errorf("%v, %v", ok, err)
	}
}

// FuzzPaper reads whatever comes as a paper. One that is sound is the same when it has been
// written and read again.
func FuzzPaper(f *testing.F) {
	f.Add([]byte(ivory))
	f.Add([]byte(ivory + "caliper: 0.115\ngrain: short\ntray: \"1\"\nnote: |\n  two\n  lines\n"))
	f.Add([]byte("name: &n [x]\nsize: *n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		stricttest.CheckBounded(t, len(data), func() {
			p, err := ParsePaper(data, "fuzz")
			if err != nil {
				return
			}
			written, err := p.YAML()
			if err != nil {
				t.Fatal(err)
			}
			if again, err := ParsePaper(written, "written"); err != nil || !reflect.DeepEqual(p, again) {
				t.Errorf("read %+v\nwritten %s\nread again %+v, %v", p, written, again, err)
			}
		})
	})
}
