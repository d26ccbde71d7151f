package profiles

import (
	"reflect"
	"testing"

	"foldwright/profiles/strict"
	"foldwright/profiles/strict/stricttest"
)

// FuzzProfile reads whatever comes as a profile. One that is sound is the same
// when it has been written and read again.
func FuzzProfile(f *testing.F) {
	names := strict.Names(builtin, "builtin")
	if len(names) == 0 {
		f.Fatal("no seeds")
	}
	for _, name := range names {
		data, err := builtin.ReadFile("builtin/" + name + strict.Extension)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(usual))
	f.Add([]byte("format: 1\nname: &n tern\ntwo-sided: automatic\nflip-edge: long\nkeep-clear: {head: 3, tail: 4.5, left: 0, right: 1}\n" +
		"paper: a5\nnote: *n\nassumed: [lands]\nregistration: {both: {right: -0.5, up: 1}, back: {right: .1}}\n" +
		"scale: {front: {across: 1.01}, back: {along: .999}}\ntray: slot\nprocess: inkjet\ntray-sheets: 30\n"))
	f.Add([]byte("a: &a [x, x]\nb: &b [*a, *a]\nformat: *b\n<<: {name: tern}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		stricttest.CheckBounded(t, len(data), func() {
			p, err := Parse(data, "fuzz")
			if err != nil {
				return
			}
			written, err := p.YAML()
			if err != nil {
				t.Fatal(err)
			}
			again, err := Parse(written, "written")
			if err != nil || !reflect.DeepEqual(p, again) {
				t.Errorf("read %+v\nwritten %s\nread again %+v, %v", p, written, again, err)
			}
		})
	})
}
