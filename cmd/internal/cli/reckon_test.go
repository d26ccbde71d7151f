package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"foldwright/cmd/internal/binding"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/reorder/sample"
)

// TestReckonedIsWhatAPreparedBookMeasures: the figures of a book that is only planned are those of
// the same book when it has been prepared.
func TestReckonedIsWhatAPreparedBookMeasures(t *testing.T) {
	rendertest.Shared(t)
	for i, c := range []struct{ reckon, prepare, measure string }{
		{"--pages 40", "--blank 40", ""},
		{"--pages 97 --paper letter --structure tapes --two-on --thread 0.02in", "--blank 97 --paper letter --structure tapes", "--two-on --thread 0.02in"},
		{"--pages 200 --cut 2 --leaf-size 100x140mm --caliper 0.12 --volumes 2 --board 2mm", "--blank 200 --cut 2 --trim-to 100x140mm --caliper 0.12 --volumes 2", "--board 2mm"},
		{"--pages 30 --fold loose --supports 5", "--blank 30 --fold loose --supports 5", ""},
		{"--pages 64 --fold octavo --paper 500x700mm --structure cords --units in", "--blank 64 --fold octavo --paper 500x700mm --structure cords --units in", ""},
	} {
		out := filepath.Join(t.TempDir(), fmt.Sprint("book", i))
		reckoned := said(t, append([]string{"reckon"}, strings.Fields(c.reckon)...)...)
		said(t, append([]string{"prepare", "--quiet", "--out", out, "--printer", "by-hand-short"}, strings.Fields(c.prepare)...)...)
		measured := said(t, append([]string{"measure", out}, strings.Fields(c.measure)...)...)
		if !strings.HasSuffix(reckoned, measured) || !strings.HasPrefix(reckoned, "RECKONED, NOT MEASURED") {
			t.Errorf("%s:\n%s\nprepared and measured:\n%s", c.reckon, reckoned, measured)
		}
	}
}

// reckonJSON is what a program reads of a reckoning.
type reckonJSON struct {
	Measured   bool
	Cut        int
	Sheets     int
	Gatherings []int
	Volumes    []struct {
		Block      binding.Range `json:"block-mm"`
		ForCutting bool          `json:"for-cutting"`
		LeafW      float64       `json:"leaf-width-mm"`
		LeafH      float64       `json:"leaf-height-mm"`
		After      []struct {
			Name     string
			Estimate bool
		} `json:"boards-and-cover"`
	}
}

func reckoned(t *testing.T, flags string) (r reckonJSON) {
	t.Helper()
	if err := json.Unmarshal([]byte(said(t, append([]string{"reckon", "--json"}, strings.Fields(flags)...)...)), &r); err != nil {
		t.Fatal(err)
	}
	return r
}

// TestReckonedBulk: where 8 pages are 0.016 in thick, 320 pages are 0.64 in (read in a paper merchant's
// table of bulk), and no figure of a planned book is for cutting.
func TestReckonedBulk(t *testing.T) {
	r := reckoned(t, "--pages 320 --paper letter --caliper 0.004in --board 3/32in --thread 0.02in")
	v := r.Volumes[0]
	if got := v.Block; !got.IsExact() || math.Abs(got.Most-0.64*25.4) > 1e-9 {
		t.Errorf("320 pages are %v mm thick", got)
	}
	sum := 0
	for _, n := range r.Gatherings {
		sum += n
	}
	if r.Sheets != 80 || sum != 80 || r.Measured || v.ForCutting {
		t.Errorf("%+v", r)
	}
	estimated := false
	for _, f := range v.After {
		estimated = estimated || f.Name == "cover, whole" && f.Estimate
	}
	if !estimated {
		t.Errorf("the cover is no estimate: %+v", v.After)
	}
}

// TestReckonedLeafIsCutFromTheLeastPaper: of A4 the leaves of a folio are 148.5 x 210 mm, cut in 2 first 105 x 148.5, in 4
// 74.25 x 105 (derived: halves of halves of 210 x 297).
func TestReckonedLeafIsCutFromTheLeastPaper(t *testing.T) {
	all := []struct {
		leaf string
		cut  int
	}{{"148x210mm", 1}, {"106x140mm", 1}, {"105x148mm", 2}, {"100x100mm", 2}, {"74x105mm", 4}, {"40x100mm", 4}}
	for _, c := range sample.Of(t, all, 1, 1, 4) {
		leaf, cut := c.leaf, c.cut
		r := reckoned(t, "--pages 64 --paper a4 --leaf-size "+leaf)
		if got := fmt.Sprintf("%gx%gmm", r.Volumes[0].LeafW, r.Volumes[0].LeafH); r.Cut != cut || got != leaf {
			t.Errorf("%s: cut in %d, leaves of %s; want %d", leaf, r.Cut, got, cut)
		}
	}
}

func TestReckonRefuses(t *testing.T) {
	for flags, want := range map[string]struct {
		status Status
		says   string
	}{
		"":                             {WrongUse, "--pages is missing"},
		"--pages 0":                    {WrongUse, "must be greater than 0"},
		"--pages 5001":                 {WrongUse, "--pages 5001 is too much: at most 5000"},
		"--pages 40 --paper sky":       {Refused, `paper "sky" is not known`},
		"--pages 40 --fold concertina": {Refused, "a concertina is not sewn"},
		"--pages 40 --structure glue":  {Refused, "no structure called glue"},
		"--pages 40 --paper a4 --leaf-size 160x200mm": {Refused, "no leaf of 160x200mm can be made of A4: folded once, its leaves are 148.5 x 210 mm"},
		"--pages 40 --paper letter --board 2":         {WrongUse, "--board 2: inches or millimetres?"},
		"--pages 40 --thread 9mm":                     {Refused, "the thread's diameter cannot be 9 mm"},
	} {
		var out, problem bytes.Buffer
		status := Run(t.Context(), append([]string{"reckon"}, strings.Fields(flags)...), Surroundings{Out: &out, Err: &problem})
		if status != want.status || !strings.Contains(problem.String(), want.says) || out.Len() > 0 {
			t.Errorf("%q: status %d, %s%s", flags, status, problem.String(), out.String())
		}
	}
}
