package strict

import (
	"errors"
	"testing"
)

type lamp struct {
	Name  string `yaml:"name"`
	Flash struct {
		Seconds int `yaml:"seconds"`
	} `yaml:"flash"`
}

var lampKeys = Known{"": {"name", "flash"}, "flash": {"seconds"}}

func TestDecode(t *testing.T) {
	var got lamp
	if line, err := Decode([]byte("name: Larkhaven\nflash:\n  seconds: 5\n"), lampKeys, &got); err != nil || got.Name != "Larkhaven" || got.Flash.Seconds != 5 {
		t.Errorf("%+v, line %d: %v", got, line, err)
	}
	for text, want := range map[string]struct {
		line int
		says string
	}{
		"":                            {0, "is empty"},
		"name: a\n---\nname: b\n":     {0, "holds more than one document"},
		"- a\n":                       {1, "is no list of keys and values"},
		"name: a\nname: b\n":          {2, `key "name" stands twice`},
		"name: a\nflash:\n  every: 5": {3, `key "every" is not known, known keys are seconds`},
		"flash:\n  seconds: often":    {1, ""},
	} {
		line, err := Decode([]byte(text), lampKeys, new(lamp))
		if err == nil || line != want.line || want.says != "" && err.Error() != want.says {
			t.Errorf("%q: line %d: %v", text, line, err)
		}
	}
	var key *KeyError
	if _, err := Decode([]byte("colour: red"), lampKeys, new(lamp)); !errors.As(err, &key) || key.Key != "colour" {
		t.Error(err)
	}
}
