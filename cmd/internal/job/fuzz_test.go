package job

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/survey"
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
		draft, err := draftOf(f.Context(), "../../../testdata/larkhaven.pdf", o, surrounding{Setting: options.Setting{Region: "GB", Version: "fuzz"}, engine: new(survey.Engine)})
		if err != nil {
			f.Fatal(err)
		}
		plan := draft.Plan()
		plan.Files = []PlanFileEntry{{"run-01-front.pdf", plan.Source.SHA256, 99}}
		data, err := plan.encode()
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
		if err := os.WriteFile(filepath.Join(folder, PlanFile), data, 0o600); err != nil {
			t.Fatal(err)
		}
		stricttest.Bounded(t, len(data), func() {
			Ours(folder)
			if made, err := ReadMade(folder); err == nil {
				_ = made.Whole(folder, true)
			}
			plan, err := ReadPlan(folder)
			if err != nil {
				return
			}
			_ = plan.Profile.Check()
			if _, err := plan.Bench(folder); err != nil {
				return
			}
			_ = fmt.Sprint(plan.Options, plan.Structure, plan.Fold, plan.Nest, plan.Bind, plan.Leaf)
		})
	})
}
