package runsheet

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write the texts in testdata anew; read the difference before you commit it")

// What a person reads, for the usual case and for an automatic printer.
func TestGoldenText(t *testing.T) {
	jobs := map[string]Job{"usual": usualJob(), "automatic": automaticJob()}
	for name, j := range jobs {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", name+".txt")
			got := text(t, j)
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("the text differs from %s; run with -update and read the difference. It is now:\n%s", file, got)
			}
		})
	}
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) != len(jobs) {
		t.Errorf("%d texts in testdata for %d jobs (%v)", len(files), len(jobs), err)
	}
}
