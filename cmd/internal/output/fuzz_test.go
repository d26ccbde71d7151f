package output

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles/strict/stricttest"
	"foldwright/reorder"
)

// FuzzPlan reads whatever comes as a plan, in each way in which plans are read.
func FuzzPlan(f *testing.F) {
	for _, o := range []options.Options{
		{},
		{Fold: reorder.Octavo, OnlyGathering: 1, Split: options.SplitSpreads, Weight: reorder.Weight{GSM: 80}},
		{Sheets: 2, Volumes: 2, NoSideNames: true},
	} {
		draft, err := draftOf(f.Context(), "../../../testdata/larkhaven.pdf", o, surrounding{Setting: options.Setting{Region: "GB", Version: "fuzz"}, engine: rendertest.Shared(f), open: map[string]*survey.Source{}})
		if err != nil {
			f.Fatal(err)
		}
		made := draft.Plan()
		made.Files = []plan.Entry{{Name: "run-01-front.pdf", SHA256: made.Source.SHA256, Bytes: 99}}
		data, err := plan.Encode(made)
		if err == nil {
			err = draft.Close()
		}
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte(`{"kind": "foldwright plan", "format": 1}`))
	f.Add([]byte(`{"kind": "foldwright test sheet"}`))
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(filepath.Join(folder, plan.File), data, 0o600); err != nil {
			t.Fatal(err)
		}
		stricttest.CheckBounded(t, len(data), func() {
			plan.IsOurs(folder)
			if made, err := plan.ReadBrief(folder); err == nil {
				_ = made.CheckFiles(folder, true)
			}
			made, err := plan.Read(folder)
			if err != nil {
				return
			}
			_ = made.Profile.Check()
			if _, err := made.Bench(folder); err != nil {
				return
			}
			_ = fmt.Sprint(made.Options, made.Structure)
		})
	})
}
