package runsheet

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"foldwright/reorder"
)

var update = flag.Bool("update", false, "write the texts in testdata anew; read the difference before you commit it")

// What a person reads, for the usual case and for an automatic printer.
func TestGoldenText(t *testing.T) {
	jobs := map[string]Job{"usual": usualJob(), "automatic": automaticJob()}
	for name, j := range jobs {
		t.Run(name, func(t *testing.T) {
			golden(t, filepath.Join("testdata", name+".txt"), text(t, j))
		})
	}
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) != len(jobs) {
		t.Errorf("%d texts in testdata for %d jobs (%v)", len(files), len(jobs), err)
	}
}

// What a person reads at the bench, for ways of cutting and folding that
// between them say everything there is to say.
func TestGoldenMaking(t *testing.T) {
	inset := func(fold reorder.Fold, bind reorder.Bind) reorder.Form {
		return reorder.Form{Fold: fold, Cut: 1, Nest: reorder.Inset, Bind: bind}
	}
	concertina, copies := inset(reorder.Concertina, reorder.BindLeft), inset(reorder.Loose, reorder.BindLeft)
	concertina.Overlap, copies.Copies = 10, true
	forms := map[string]reorder.Form{
		"folio-cut-tail":      {Fold: reorder.Folio, Cut: 2, Nest: reorder.Inset, Bind: reorder.BindLeft, CutEdge: reorder.TailEdge},
		"folio-cut-in-four":   {Fold: reorder.Folio, Cut: 4, Nest: reorder.Inset, Bind: reorder.BindLeft},
		"octavo":              inset(reorder.Octavo, reorder.BindLeft),
		"quarto-top":          inset(reorder.Quarto, reorder.BindTop),
		"quarto-together":     {Fold: reorder.Quarto, Cut: 1, Nest: reorder.Together, Bind: reorder.BindRight},
		"duodecimo":           inset(reorder.Duodecimo, reorder.BindLeft),
		"loose-copies-across": copies,
		"pouch":               inset(reorder.Pouch, reorder.BindLeft),
		"concertina":          concertina,
	}
	for name, form := range forms {
		t.Run(name, func(t *testing.T) {
			j, _, ok := made(t, form, form.CutEdge == reorder.TailEdge)
			if !ok {
				t.Fatalf("%+v cannot be", form)
			}
			golden(t, filepath.Join("testdata", "making", name+".txt"), partText([]Part{makingPart(j)}))
		})
	}
	files, err := filepath.Glob("testdata/making/*.txt")
	if err != nil || len(files) != len(forms) {
		t.Errorf("%d texts in testdata/making for %d forms (%v)", len(files), len(forms), err)
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
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
}
