package testsheet

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"foldwright/profiles/publish"
	"foldwright/reorder/refusal"
)

func TestFolderIsCompleteOrAbsent(t *testing.T) {
	place := filepath.Join(t.TempDir(), Folder)
	o := Options{Paper: parsed(t, "a4"), Three: true, Version: "test"}
	if err := Write(t.Context(), place, o); err != nil {
		t.Fatal(err)
	}
	r, err := Read(place)
	if err != nil || !r.Three || r.Paper.Name != o.Paper.Name || len(r.Files) != 4 || r.Files[3] != StepsFile {
		t.Fatalf("the record is %+v, %v", r, err)
	}
	for _, name := range r.Files {
		if info, err := os.Stat(filepath.Join(place, name)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := Write(t.Context(), place, o); !errors.Is(err, publish.ErrExists) {
		t.Errorf("written again: %v", err)
	}
	o.Replace, o.Three = true, false
	if err := Write(t.Context(), place, o); err != nil {
		t.Errorf("replaced: %v", err)
	}
	if r, err := Read(place); err != nil || r.Three {
		t.Errorf("after replacing the record is %+v, %v", r, err)
	}
	o.Paper = parsed(t, "a6")
	if err := Write(t.Context(), place, o); refusal.Of(err) != refusal.Plan {
		t.Errorf("a6: %v", err)
	}
}

func TestOtherFoldersAreNotReplaced(t *testing.T) {
	for name, content := range map[string]string{
		"no record": "", "a job": `{"kind":"foldwright plan","format":1}`, "no json": "{", "a later format": `{"kind":"foldwright test sheet","format":2}`,
	} {
		place := filepath.Join(t.TempDir(), Folder)
		if err := os.Mkdir(place, 0o777); err != nil {
			t.Fatal(err)
		}
		if content != "" {
			if err := os.WriteFile(filepath.Join(place, recordFile), []byte(content), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		o := Options{Paper: parsed(t, "a4"), Replace: true}
		if err := Write(t.Context(), place, o); !errors.Is(err, publish.ErrForeign) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
