package render

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/tetratelabs/wazero"
)

// adds is a module with one function, whose translation takes no time: "add" of the examples
// that everyone begins with. Its sections are written by the WebAssembly Core Specification, section 5.5.
const adds = "\x00asm\x01\x00\x00\x00" +
	"\x01\x07\x01\x60\x02\x7f\x7f\x01\x7f" + // types: two numbers to one
	"\x03\x02\x01\x00" + // functions: one of that type
	"\x07\x07\x01\x03add\x00\x00" + // exports
	"\x0a\x09\x01\x07\x00\x20\x00\x20\x01\x6a\x0b" // code: local.get 0, local.get 1, i32.add

// TestHalfATranslationIsReplaced: whoever finds half of a translation translates once more, in its
// place, and later starts use what lies there.
func TestHalfATranslationIsReplaced(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "kept")
	kept := func() os.FileInfo {
		t.Helper()
		sum, err := startKept(dir, func(cache wazero.CompilationCache) (uint64, error) {
			config := wazero.NewRuntimeConfig()
			if cache != nil {
				config = config.WithCompilationCache(cache)
			}
			r := wazero.NewRuntimeWithConfig(t.Context(), config)
			defer r.Close(t.Context())
			m, err := r.Instantiate(t.Context(), []byte(adds))
			if err != nil {
				return 0, err
			}
			sum, err := m.ExportedFunction("add").Call(t.Context(), 17, 25)
			if err != nil {
				return 0, err
			}
			return sum[0], nil
		})
		if err != nil || sum != 42 {
			t.Fatalf("%d, %v", sum, err)
		}
		files, err := filepath.Glob(filepath.Join(dir, "*", "*"))
		if err != nil || len(files) != 1 {
			t.Fatalf("there lies %v, %v", files, err)
		}
		info, err := os.Stat(files[0])
		if err != nil {
			t.Fatal(err)
		}
		return info
	}
	first := kept()
	if again := kept(); !os.SameFile(again, first) {
		t.Error("a second start has translated once more")
	}
	files, _ := filepath.Glob(filepath.Join(dir, "*", "*"))
	if err := os.Truncate(files[0], first.Size()/2); err != nil {
		t.Fatal(err)
	}
	whole := kept()
	if whole.Size() != first.Size() {
		t.Fatalf("%d bytes are left of %d: half a translation was not replaced", whole.Size(), first.Size())
	}
	if again := kept(); !os.SameFile(again, whole) {
		t.Error("a later start has translated once more")
	}
}
