package strict

import (
	"errors"
	"slices"
	"testing"
	"testing/fstest"
)

type lamp struct {
	Name  string `yaml:"name"`
	Flash struct {
		Seconds int `yaml:"seconds"`
	} `yaml:"flash"`
}

func TestDecode(t *testing.T) {
	var got lamp
	if line, err := Decode([]byte("name: Larkhaven\nflash:\n  seconds: 5\n"), &got); err != nil || got.Name != "Larkhaven" || got.Flash.Seconds != 5 {
		t.Errorf("%+v, line %d: %v", got, line, err)
	}
	for text, want := range map[string]struct {
		line int
		says string
	}{
		"":                            {0, "is empty"},
		"name: a\n---\nname: b\n":     {0, "holds more than one document"},
		"- a\n":                       {1, "is not a list of keys and values"},
		"name: a\nname: b\n":          {2, `key "name" stands twice`},
		"name: a\nflash:\n  every: 5": {3, `key "every" is not known; the keys are seconds`},
		"flash:\n  seconds: often":    {1, ""},
	} {
		line, err := Decode([]byte(text), new(lamp))
		if err == nil || line != want.line || want.says != "" && err.Error() != want.says {
			t.Errorf("%q: line %d: %v", text, line, err)
		}
	}
	var key *KeyError
	if _, err := Decode([]byte("colour: red"), new(lamp)); !errors.As(err, &key) || key.Key != "colour" {
		t.Error(err)
	}
}

func TestNamesAndFiles(t *testing.T) {
	files := fstest.MapFS{"ways/tern.yaml": {}, "ways/auk.yaml": {}, "ways/notes.txt": {}, "skua.yaml": {}}
	if got := Names(files, "ways"); !slices.Equal(got, []string{"auk", "tern"}) {
		t.Errorf("got %v", got)
	}
	if got := Names(files, "none"); got != nil {
		t.Errorf("got %v of no folder", got)
	}
	for value, want := range map[string]bool{"tern": false, "tern.yaml": true, "./tern": true, "ways/tern": true, "tern.yml": false, "": false} {
		if IsFile(value) != want {
			t.Errorf("%q is a file: %v", value, !want)
		}
	}
}

func TestNearest(t *testing.T) {
	known := []string{"paper", "pages", "place", "printer", "out"}
	for word, want := range map[string]string{
		"pappr": "paper", "papr": "paper", "paepr": "paper", "pagse": "pages", "printr": "printer",
		"paper": "paper", "moon": "", "x": "", "": "", "ouut": "out",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("%q is taken for %q, want %q", word, got, want)
		}
	}
}
