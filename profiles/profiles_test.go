package profiles

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"foldwright/printer"
	"foldwright/reorder/refusal"
)

const usual = `format: 1
name: desk
two-sided: by-hand
feed-face: up
feed-from: top
lands: face-down
stacks: on-top
sends: first-page-first
reload: as-delivered
flip-edge: short
`

func TestBuiltinProfilesAreSoundAndNamedAfterTheirFile(t *testing.T) {
	names := Builtin()
	if len(names) < 6 || !slices.Contains(names, Guess) {
		t.Fatalf("built-in profiles are %v", names)
	}
	for _, name := range names {
		p, err := Store{}.Find(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if p.Name != name {
			t.Errorf("%s is called %q inside", name, p.Name)
		}
	}
	p, err := Store{}.Find("")
	if err != nil || p.Facts != printer.Usual {
		t.Errorf("without a name: %+v, %v; want the usual case", p.Facts, err)
	}
}

func TestAllKeys(t *testing.T) {
	text := usual + `assumed: [stacks]
tray-sheets: 50
keep-clear: {head: 4.2, tail: 15, left: 4.2, right: 5}
paper: a4
registration: {both: {right: 0.5, up: -1}, back: {right: 0.25, up: 0.5}}
scale: {front: {across: 1.002, along: 0.999}, back: {across: 1, along: 1.001}}
note: heavy paper through the slot
`
	p, err := Parse([]byte(text), "desk.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if p.TraySheets != 50 || p.KeepClear.Tail != 15 || p.Paper != "a4" || p.Registration.Both.Up != -1 ||
		p.Registration.Back.Right != 0.25 || p.Scale.Back.Along != 1.001 || p.Note == "" || p.Assumed[0] != "stacks" {
		t.Errorf("read as %+v", p)
	}
	// plan.json holds a full copy.
	data, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var q Profile
	if err := json.Unmarshal(data, &q); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(q)
	if err != nil || string(again) != string(data) {
		t.Errorf("copied as %s\n  read as %s", data, again)
	}
}

func TestOneNumberKeepsAllEdgesClear(t *testing.T) {
	p, err := Parse([]byte(usual+"keep-clear: 4.2\n"), "x")
	if err != nil || *p.KeepClear != printer.AllEdges(4.2) {
		t.Errorf("%+v, %v", p.KeepClear, err)
	}
}

func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"empty":            {"", "profile x.yaml: is empty"},
		"no mapping":       {"- a\n", "profile x.yaml, line 1: is not a list of keys and values"},
		"unknown key":      {usual + "colour: red\n", `profile x.yaml, line 11: key "colour" is not known`},
		"unknown inner":    {usual + "registration: {both: {left: 1}}\n", `profile x.yaml, line 11: key "left" is not known; the keys are right, up`},
		"key twice":        {usual + "name: other\n", `profile x.yaml, line 11: key "name" stands twice`},
		"unknown value":    {strings.Replace(usual, "lands: face-down", "lands: sideways", 1), `profile x.yaml, line 6: lands cannot be "sideways": choose face-up or face-down`},
		"number for words": {usual + "tray-sheets: many\n", "profile x.yaml, line 11: tray-sheets cannot be many"},
		"other format":     {strings.Replace(usual, "format: 1", "format: 2", 1), "profile x.yaml: format must be 1"},
		"no name":          {strings.Replace(usual, "name: desk\n", "", 1), "profile x.yaml: the name is missing"},
		"missing fact":     {strings.Replace(usual, "stacks: on-top\n", "", 1), "profile x.yaml: stacks is not given"},
		"contradiction":    {strings.Replace(usual, "lands: face-down", "lands: face-up", 1), "profile x.yaml: a printer that prints the side lying up in the tray and lets it land face-up would print the same side twice"},
		"automatic reload": {"format: 1\nname: a\ntwo-sided: automatic\nflip-edge: long\nreload: rotate\n", "reload does not belong in the profile of an automatic printer"},
		"automatic bare":   {"format: 1\nname: a\ntwo-sided: automatic\n", "flip-edge is not given"},
		"unknown paper":    {usual + "paper: b5\n", `paper "b5" could mean two sizes`},
		"shift":            {usual + "registration: {back: {right: 11, up: 0}}\n", "so something was misread"},
		"scale":            {usual + "scale: {back: {across: 0.9, along: 1}}\n", "a print dialog does that, not a printer"},
		"keep-clear":       {usual + "keep-clear: -1\n", "between 0 and 50 mm"},
		"assumed":          {usual + "assumed: [mood]\n", "assumed names mood, which is not a fact"},
		"not yaml":         {"a: [", "profile x.yaml"},
		"two documents":    {usual + "---\n" + usual, "more than one document"},
	} {
		_, err := Parse([]byte(c.text), "x.yaml")
		if refusal.Of(err) != refusal.Plan || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q", name, err, c.want)
		}
	}
}

func TestContradictionsHintComesThroughTheProfile(t *testing.T) {
	_, err := Parse([]byte(strings.Replace(usual, "lands: face-down", "lands: face-up", 1)), "x")
	if hint := refusal.Hint(err).String(); hint != "reload must be turn-long or turn-short; if you are not sure, print the test sheet again" {
		t.Errorf("%v", err)
	}
}

func TestAutomaticFillsInTheUsualFactsAndSaysSo(t *testing.T) {
	p, err := Parse([]byte("format: 1\nname: a\ntwo-sided: automatic\nflip-edge: long\n"), "a")
	if err != nil {
		t.Fatal(err)
	}
	if p.Lands != printer.FaceDown || p.Stacks != printer.OnTop || p.Sends != printer.FirstPageFirst {
		t.Errorf("%+v", p.Facts)
	}
	if strings.Join(p.Assumed, " ") != "lands stacks sends" {
		t.Errorf("assumed is %v", p.Assumed)
	}
}

func TestStore(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("desk.yaml", usual)
	write(Guess+".yaml", strings.Replace(usual, "flip-edge: short", "flip-edge: long", 1))
	s := Store{dir}
	if p, err := s.Find("desk"); err != nil || p.Name != "desk" {
		t.Errorf("by name: %v, %v", p, err)
	}
	if p, err := s.Find(filepath.Join(dir, "desk.yaml")); err != nil || p.Name != "desk" {
		t.Errorf("by path: %v, %v", p, err)
	}
	if p, err := s.Find(Guess); err != nil || p.FlipEdge != printer.ShortEdge {
		t.Errorf("a built-in profile was shadowed: %v, %v", p, err)
	}
	_, err := s.Find("attic")
	if refusal.Of(err) != refusal.Plan || err.Error() != `no printer profile is called "attic"` || !strings.Contains(refusal.Hint(err).String(), ", desk;") {
		t.Errorf("unknown name: %v", err)
	}
	if _, err := s.Find("attic.yaml"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("unknown file: %v", err)
	}
	write("default-printer", "desk\n")
	if p, err := s.Find(""); err != nil || p.Name != "desk" {
		t.Errorf("default: %v, %v", p, err)
	}
	t.Setenv(Environment, dir)
	if Open("").Dir != dir || Open("elsewhere").Dir != "elsewhere" {
		t.Errorf("the folder is %q", Open("").Dir)
	}
}
