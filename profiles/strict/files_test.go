package strict

import (
	"slices"
	"testing"
	"testing/fstest"
)

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
