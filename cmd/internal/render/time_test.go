package render_test

import (
	"context"
	"errors"
	"fmt"
	"image"
	"strings"
	"testing"
	"time"

	"foldwright/cmd/internal/render"
)

// slow is a file of three pages. The second works out a shade of grey for each of its
// pixels by a long calculation, which takes any machine minutes and hardly any
// memory; the others bear a black square.
func slow() []byte { return shaded(200_000) }

// shaded is the same with a calculation of so many steps.
func shaded(steps int) []byte {
	var f pdfFile
	grey := f.stream("/FunctionType 4 /Domain [0 200 0 200] /Range [0 1]", "{ add 400 div "+strings.Repeat("dup mul sqrt ", steps)+"}")
	shading := f.add("<< /ShadingType 1 /ColorSpace /DeviceGray /Domain [0 200 0 200] /Function %d 0 R >>", grey)
	square := f.stream("", "0 0 50 50 re f")
	shaded := f.stream("", "/S sh")
	tree := len(f.objects) + 4
	var kids []string
	for _, content := range []int{square, shaded, square} {
		n := f.add("<< /Type /Page /Parent %d 0 R /MediaBox [0 0 200 200] /Contents %d 0 R /Resources << /Shading << /S %d 0 R >> >> >>", tree, content, shading)
		kids = append(kids, fmt.Sprintf("%d 0 R", n))
	}
	f.add("<< /Type /Pages /Count 3 /Kids [%s] >>", strings.Join(kids, " "))
	return f.bytes(f.add("<< /Type /Catalog /Pages %d 0 R >>", tree), "")
}

// patient starts a renderer of one worker.
func patient(t *testing.T, limit time.Duration) *render.Renderer {
	t.Helper()
	r := render.Start(render.Options{Workers: 1, PageTime: limit})
	t.Cleanup(func() { r.Close() })
	return r
}

func expectSquare(t *testing.T, picture *image.Gray, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if got := picture.GrayAt(10, 190).Y; got != 0 {
		t.Errorf("the square has grey %d, want 0", got)
	}
}

// A time in which this machine draws the pages that are not slow: where it doesn't, it gets
// more.
func TestASlowPageIsGivenUp(t *testing.T) {
	limit := time.Second
	for ; limit < time.Minute && !givesUp(t, limit); limit *= 2 {
		t.Logf("%v is too short here", limit)
	}
	if limit >= time.Minute {
		t.Errorf("the other pages take longer than %v, or the slow one is waited for again", limit)
	}
}

// givesUp tells whether the pages that are not slow are drawn within the limit, and the slow
// one is given up a second time in less.
func givesUp(t *testing.T, limit time.Duration) bool {
	t.Helper()
	r := patient(t, limit)
	d, err := r.OpenBytes(t.Context(), "slow.pdf", slow(), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	began := time.Now()
	_, err = d.Gray(t.Context(), 2, 72)
	var late *render.TimeError
	if says := fmt.Sprintf("slow.pdf: page 2 could not be drawn in %.0f s", limit.Seconds()); !errors.As(err, &late) || err.Error() != says {
		t.Errorf("got %v, want %s", err, says)
	}
	if took := time.Since(began); took < limit {
		t.Errorf("giving it up took %v", took)
	}
	for _, page := range []int{1, 3} {
		picture, err := d.Gray(t.Context(), page, 72)
		if errors.As(err, &late) {
			return false
		}
		expectSquare(t, picture, err)
	}
	// What has been too slow once is not waited for again.
	began = time.Now()
	if _, err = d.RGBA(t.Context(), 2, 72); !errors.As(err, &late) {
		t.Errorf("once more: %v after %v", err, time.Since(began))
	}
	return time.Since(began) < limit
}

func TestDrawingCanBeInterrupted(t *testing.T) {
	r := patient(t, time.Hour)
	d, err := r.OpenBytes(t.Context(), "slow.pdf", slow(), "")
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	ctx, cancel := context.WithTimeout(t.Context(), time.Second/4)
	defer cancel()
	if _, err := d.Gray(ctx, 2, 72); err != context.DeadlineExceeded {
		t.Errorf("got %v", err)
	}
	picture, err := d.Gray(t.Context(), 1, 72)
	expectSquare(t, picture, err)
}
