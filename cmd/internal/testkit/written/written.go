// Package written writes jobs for the tests of what reads them.
package written

import (
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/job"
	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render/rendertest"
	"foldwright/cmd/internal/survey"
	"foldwright/profiles"
)

// Folder plans a job as prepare does, with the built-in profiles, and writes it.
func Folder(t *testing.T, source string, o options.Options) (folder string, made plan.Plan) {
	t.Helper()
	engine := survey.RunningEngine(rendertest.Shared(t))
	resolved, err := o.Resolve(options.Setting{Profiles: profiles.Store{}, Region: "GB", Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	opened, err := survey.Open(t.Context(), source, "", engine)
	if err != nil {
		t.Fatal(err)
	}
	defer opened.Close()
	d, err := plan.New(t.Context(), resolved, opened)
	if err != nil {
		t.Fatal(err)
	}
	folder = filepath.Join(t.TempDir(), "book-print")
	if made, err = (job.Job{Draft: d}).Write(t.Context(), folder, false, silent{}); err != nil {
		t.Fatal(err)
	}
	return folder, made
}

type silent struct{}

func (silent) Step(int) {}
