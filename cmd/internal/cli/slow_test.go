package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/reorder/sample"
)

// slowBook writes a book of four pages, of which the third works out a shade of grey for
// each of its pixels by a long calculation: any machine takes minutes, and hardly any memory.
func slowBook(t *testing.T, path string) {
	t.Helper()
	var b bytes.Buffer
	var offsets []int
	object := func(format string, args ...any) {
		offsets = append(offsets, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n", len(offsets))
		fmt.Fprintf(&b, format, args...)
		b.WriteString("\nendobj\n")
	}
	stream := func(entries, data string) {
		object("<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(data), data)
	}
	b.WriteString("%PDF-1.7\n")
	object("<< /Type /Catalog /Pages 2 0 R >>")
	object("<< /Type /Pages /Count 4 /Kids [3 0 R 4 0 R 5 0 R 6 0 R] >>")
	for page := 1; page <= 4; page++ {
		contents := 7
		if page == 3 {
			contents = 8
		}
		object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 420 595] /Contents %d 0 R /Resources << /Shading << /S 9 0 R >> >> >>", contents)
	}
	stream("", "50 50 100 100 re f")
	stream("", "/S sh")
	object("<< /ShadingType 1 /ColorSpace /DeviceGray /Domain [0 420 0 595] /Function 10 0 R >>")
	stream("/FunctionType 4 /Domain [0 420 0 595] /Range [0 1]", "{ add 1015 div "+strings.Repeat("dup mul sqrt ", 100_000)+"}")
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, o := range offsets {
		fmt.Fprintf(&b, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(offsets)+1, at)
	if err := os.WriteFile(path, b.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
}

// A page that cannot be drawn costs its time and no more: it is named, the
// others are looked at, and nothing passes for checked that is not.
func TestPagesThatCannotBeDrawn(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	slowBook(t, "slow.pdf")
	all := []struct {
		args   string
		status Status
		says   string
		there  string
	}{
		{"inspect slow.pdf --page-timeout 1s", Done, "- page 3 could not be drawn in 1 s, so its ink was not checked\n", ""},
		{"prepare slow.pdf --quiet", Done, "slow-print\n", "slow-print/plan.json"},
		{"proof slow-print --page-timeout 1s", Partly, "foldwright: slow-print: 2 of 4 pages could not be checked: pages 2, 3 could not be compared: page 3 could not be drawn in 1 s\n", "slow-proof.pdf"},
		{"preview slow-print --page-timeout 1s", Partly, "foldwright: sheet 1, back: run-01-back.pdf: page 1 could not be drawn in 1 s\n", "slow-preview/sheet-001-back.png"},
		{"prepare slow.pdf --out proved-print --proof --page-timeout 1s", Partly, "proved-print: 2 of 4 pages could not be checked: ", "!proved-print"},
		{"prepare slow.pdf --out content-print --box content --page-timeout 1s", Done, "warning: page 3 could not be drawn in 1 s, so its print could not be measured and the whole page is used\n", "content-print"},
		{"inspect slow.pdf --page-timeout 0", WrongUse, `--page-timeout: "0" is not a time: use 90s, 10m or 2h, or none for no limit`, ""},
	}
	const prepare = 1 // what proof and preview need
	for _, c := range sample.Of(t, all, 1, prepare, len(all)-1) {
		var out bytes.Buffer
		status := Run(t.Context(), strings.Fields(c.args), Surroundings{Out: &out, Err: &out, Region: "GB"})
		if status != c.status || !strings.Contains(out.String(), c.says) {
			t.Errorf("%s: status %d, want %d and %q:\n%s", c.args, status, c.status, c.says, &out)
		}
		name, absent := strings.CutPrefix(c.there, "!")
		if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(name))); (err == nil) == absent {
			t.Errorf("%s: %s: %v", c.args, c.there, err)
		}
	}
}
