package secondreader

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"foldwright/reorder/refusal"
)

// TestCheck tells a sound file, one that is refused and what can't be read apart, and looks
// whether anything is left in the user's folders.
func TestCheck(t *testing.T) {
	home := t.TempDir()
	for _, v := range []string{"HOME", "XDG_CONFIG_HOME", "AppData"} {
		t.Setenv(v, home)
	}
	note := filepath.Join(t.TempDir(), "note.pdf")
	if err := os.WriteFile(note, []byte("the lamp was lit at six"), 0o600); err != nil {
		t.Fatal(err)
	}
	const demo = "../../../testdata/larkhaven.pdf"
	if err := Check(t.Context(), demo, ""); err != nil {
		t.Errorf("the demo book: %v", err)
	}
	if err := Check(t.Context(), note, ""); refusal.Of(err) != refusal.Source {
		t.Errorf("no PDF: %v", err)
	}
	if err := Check(t.Context(), note+"x", ""); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no file: %v", err)
	}
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	if err := Check(cancelled, demo, ""); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	left, err := os.ReadDir(home)
	if err != nil || len(left) > 0 {
		t.Errorf("in the user's folder: %v, %v", left, err)
	}
}
