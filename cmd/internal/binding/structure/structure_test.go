package structure

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/profiles/strict"
	"foldwright/reorder/refusal"
)

func TestEveryBuiltinStructureIsSound(t *testing.T) {
	if len(Names()) != 8 {
		t.Fatalf("%d structures: %v", len(Names()), Names())
	}
	for _, name := range Names() {
		s, err := Find(name)
		if err != nil {
			t.Error(err)
			continue
		}
		if s.Name != name {
			t.Errorf("%s calls itself %s", name, s.Name)
		}
		// As JSON, in plans, it is the same rules.
		var read binding.Structure
		if data, err := json.Marshal(s); err != nil {
			t.Error(err)
		} else if err := json.Unmarshal(data, &read); err != nil || !reflect.DeepEqual(read, s) {
			t.Errorf("%s, read back from JSON: %+v, %v", name, read, err)
		}
		// Every height that books have gets stations, whatever has to give.
		for height := 36.0; height <= 420; height += 0.5 {
			st, err := s.Stations(binding.MM, height, 0)
			if err != nil {
				t.Errorf("%s at %g mm: %v", name, height, err)
				break
			}
			for i, h := range st.Holes {
				if h.At <= 0 || h.At >= height || i > 0 && h.At-st.Holes[i-1].At < 5 {
					t.Fatalf("%s at %g mm: hole at %g", name, height, h.At)
				}
			}
		}
	}
}

func TestStructuresAreReadStrictly(t *testing.T) {
	text, err := Text("case")
	if err != nil {
		t.Fatal(err)
	}
	changed := func(from, to string) string {
		out := strings.Replace(string(text), from, to, 1)
		if out == string(text) {
			t.Fatalf("%q is not in the text", from)
		}
		return out
	}
	for what, c := range map[string]struct{ text, says string }{
		"unknown key":   {changed("square:", "squares:"), `structure x, line 31: key "squares" is not known`},
		"wrong unit":    {changed("joint: 5mm", "joint: 5cm"), `line 29: "5cm" is not a number or a range: use 6mm, 1/8in, 1/8 to 3/16 in or 0.4 to 0.7, for example; units are mm, in and pt`},
		"other unit":    {changed("joint: 5mm", "joint: 7in"), "line 29: joint of 177.8 mm is not possible: it must be between 0 and 30 mm"},
		"no share":      {changed("pressed: 0.4 to 0.7", "pressed: 40 to 70"), "line 23: pressed of 40 to 70 is not possible: it must be between 0 and 1"},
		"no thread":     {changed("thread: 0.4 to 0.6 mm", "thread: 0.4 to 3/0 mm"), `"0.4 to 3/0 mm" is not a number or a range`},
		"no length":     {changed("joint: 5mm", "joint: wide"), `line 29: "wide" is not a number or a range`},
		"below nought":  {changed("joint: 5mm", "joint: -7mm"), "structure x, line 29: joint of -7 mm is not possible: it must be between 0 and 30 mm"},
		"no such word":  {changed("supports: tapes", "supports: wires"), `supports cannot be "wires": choose none, cords or tapes`},
		"range upside":  {changed("2 to 2.5 mm", "3 to 2 mm"), `"3 to 2 mm" is not a number or a range`},
		"falls":         {changed("130mm, 210mm", "210mm, 130mm"), "heights must rise"},
		"no tape":       {changed("support-width: 10mm", "support-width: 0"), "support-width must be given for tapes"},
		"other format":  {changed("format: 1", "format: 2"), "format must be 1"},
		"links round":   {changed("supports: tapes", "supports: cords\nlinks: tapes"), "line 11: links tapes needs sewn folds and supports tapes"},
		"links odd":     {changed("supports: tapes", "supports: none\nlinks: holes"), "links holes needs sewn folds, supports none, and even numbers with an even step"},
		"boards naught": {changed("square: 1/8in", "square: 0"), "board, turn-in and square must be given for a cover with boards"},
	} {
		_, err := Parse([]byte(c.text), "x")
		if refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for key, want := range map[string]string{"squares": "square", "sqare": "square", "turnin": "turn-in", "bord": "board", "colour": ""} {
		_, err := Parse([]byte(key+": 1\n"), "x")
		if hint := refusal.Hint(err).String(); hint != map[bool]string{true: "did you mean " + want + "?"}[want != ""] {
			t.Errorf("%s: %q, want %s", key, hint, want)
		}
	}
	var key *strict.KeyError
	if _, err := Parse([]byte("colour: red\n"), "x"); !errors.As(err, &key) || key.Key != "colour" {
		t.Errorf("an unknown key: %v", err)
	}
	var rule *binding.RuleError
	if _, err := Parse([]byte(changed("format: 1", "format: 2")), "x"); !errors.As(err, &rule) {
		t.Errorf("a wrong rule is %T", err)
	}
	if old, err := Find("tapes"); err != nil || old.Name != "flat-back" {
		t.Errorf("by its former name the flat-back case is %q, %v", old.Name, err)
	}
	if _, err := Find("perfect"); err == nil || !strings.Contains(refusal.Hint(err).String(), "case, cords") {
		t.Errorf("an unknown name: %v", err)
	}
}
