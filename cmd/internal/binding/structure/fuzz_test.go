package structure

import (
	"testing"

	"foldwright/profiles/strict/stricttest"
)

// FuzzStructure reads whatever comes as the rules of a structure.
func FuzzStructure(f *testing.F) {
	names := Names()
	if len(names) == 0 {
		f.Fatal("no seeds")
	}
	for _, name := range names {
		data, err := Text(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		stricttest.CheckBounded(t, len(data), func() {
			if _, err := Parse(data, "fuzz"); err != nil && err.Error() == "" {
				t.Error("refused without a word")
			}
		})
	})
}
