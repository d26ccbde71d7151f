package render_test

import (
	"bytes"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/testkit/rendertest"
)

// TestPagesAreDrawnBeforeTheTranslation: until the engine is translated another worker draws, and draws the same
// as the translated one; what nobody looks at waits; the page that is drawn when that worker
// has to go is drawn by the other one.
func TestPagesAreDrawnBeforeTheTranslation(t *testing.T) {
	if render.RaceDetector {
		t.Skip("the engine is interpreted for a minute under the race detector")
	}
	release := make(chan struct{})
	r, grow := render.StartHeld(render.Options{Workers: 1}, release)
	defer r.Close()
	rendertest.Shared(t) // the translation is kept
	data := numbered(3)
	early, err := r.OpenBytes(t.Context(), "numbered", data, "")
	if err != nil {
		t.Fatal(err)
	}
	first, err := early.RGBA(t.Context(), 1, 50)
	if err != nil || !render.IsEarly(r) {
		t.Fatalf("before the translation: drawn early: %v, %v", render.IsEarly(r), err)
	}
	usual, err := rendertest.OpenBytes(t, "numbered", data).RGBA(t.Context(), 1, 50)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first.Pix, usual.Pix) || first.Rect != usual.Rect {
		t.Error("the interpreted engine draws otherwise than the translated one")
	}

	waits := make(chan error, 1)
	go func() {
		_, err := early.Gray(t.Context(), 1, 50)
		waits <- err
	}()
	select {
	case err := <-waits:
		t.Errorf("what nobody looks at was drawn slowly: %v", err)
	case <-time.After(50 * time.Millisecond):
	}

	heavy, err := r.OpenBytes(t.Context(), "slow", shaded(300), "") // seconds, interpreted
	if err != nil {
		t.Fatal(err)
	}
	drawn := make(chan error, 1)
	go func() {
		_, err := heavy.RGBA(t.Context(), 2, 72)
		drawn <- err
	}()
	time.Sleep(20 * time.Millisecond)
	grow()
	close(release)
	for _, c := range []chan error{drawn, waits} {
		if err := <-c; err != nil {
			t.Error(err)
		}
	}
	if render.IsEarly(r) {
		t.Error("the early worker is still there")
	}
}

// TestClosedBeforeTheTranslation: nothing that was started is left, whether it was used or not.
func TestClosedBeforeTheTranslation(t *testing.T) {
	for _, used := range []bool{false, true} {
		r, _ := render.StartHeld(render.Options{Workers: 1}, make(chan struct{}))
		if used {
			if _, err := r.OpenBytes(t.Context(), "numbered", numbered(1), ""); err != nil {
				t.Error(err)
			}
		}
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	}
}
