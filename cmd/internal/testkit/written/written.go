// Package written writes jobs for the tests of what reads them.
package written

import (
	"path/filepath"
	"testing"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/output"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/progress"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/profiles"
)

// Draft plans a job as prepare does, with the built-in profiles. It is closed when
// the test ends.
func Draft(t *testing.T, source string, o options.Options) *plan.Draft {
	t.Helper()
	resolved, err := o.Resolve(options.Setting{Profiles: profiles.Store{}, Region: "GB", Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	opened, err := survey.Open(t.Context(), source, "", rendertest.Shared(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { opened.Close() })
	d, err := plan.New(t.Context(), resolved, opened)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Folder is [Draft], written.
func Folder(t *testing.T, source string, o options.Options) (folder string, made plan.Plan) {
	t.Helper()
	d := Draft(t, source, o)
	folder = filepath.Join(t.TempDir(), "book-print")
	made, err := output.Job{Draft: d}.Write(t.Context(), folder, false, progress.Silent)
	if err != nil {
		t.Fatal(err)
	}
	return folder, made
}
