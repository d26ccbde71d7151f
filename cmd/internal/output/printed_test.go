package output

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"go.yaml.in/yaml/v3"

	"foldwright/cmd/internal/options"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/render"
	"foldwright/cmd/internal/survey"
	"foldwright/cmd/internal/testkit/printtest"
	"foldwright/cmd/internal/testkit/rendertest"
	"foldwright/printer"
	"foldwright/printer/printertest"
	"foldwright/profiles"
	"foldwright/reorder"
)

// surrounding is what a job is planned with in a test.
type surrounding struct {
	options.Setting
	engine   *render.Renderer
	password string
	open     map[string]*survey.Source // of the test's drafts
}

// settings are the surroundings of the tests that run.
var settings sync.Map

// setting is the surrounding of a test, always the same one.
func setting(t *testing.T) surrounding {
	t.Helper()
	if has, ok := settings.Load(t); ok {
		return has.(surrounding)
	}
	a := surrounding{Setting: options.Setting{Profiles: profiles.Store{}, Region: "GB", Version: "test"}, engine: rendertest.Shared(t), open: map[string]*survey.Source{}}
	settings.Store(t, a)
	t.Cleanup(func() {
		settings.Delete(t)
		for _, source := range a.open {
			source.Close()
		}
	})
	return a
}

// source opens a source for all drafts of a test, which draw each of its pages once.
func (a surrounding) source(ctx context.Context, path string) (*survey.Source, error) {
	key := a.password + "\x00" + path
	if s := a.open[key]; s != nil {
		return s, nil
	}
	s, err := survey.Open(ctx, path, a.password, a.engine)
	if err == nil {
		a.open[key] = s
	}
	return s, err
}

// draftOf plans a job from what a person says.
func draftOf(ctx context.Context, path string, o options.Options, a surrounding) (Job, error) {
	resolved, err := o.Resolve(a.Setting)
	if err != nil {
		return Job{}, err
	}
	source, err := a.source(ctx, path)
	if err != nil {
		return Job{}, err
	}
	d, err := plan.New(ctx, resolved, source)
	if err != nil {
		return Job{}, err
	}
	return Job{Draft: d}, nil
}

// redraftOf plans a job again from its folder.
func redraftOf(ctx context.Context, folder string, made plan.Plan, path string, a surrounding) (Job, error) {
	source, err := survey.Open(ctx, path, a.password, a.engine)
	if err != nil {
		return Job{}, err
	}
	d, err := plan.Redraft(ctx, folder, made, source, a.Version)
	if err != nil {
		return Job{}, errors.Join(err, source.Close())
	}
	return Job{Draft: d, Folder: FolderName(folder)}, nil
}

// prepared writes a job's folder and returns it with its plan.
func prepared(t *testing.T, source string, o options.Options, set surrounding) (string, plan.Plan) {
	t.Helper()
	d, err := draftOf(t.Context(), source, o, set)
	if err != nil {
		t.Fatal(err)
	}
	place := filepath.Join(t.TempDir(), "out")
	made, err := d.Write(t.Context(), place, false, silent{})
	if err != nil {
		t.Fatal(err)
	}
	return place, made
}

// profileFile writes a profile of the given facts.
func profileFile(t *testing.T, f printer.Facts, assumed ...string) string {
	t.Helper()
	data, err := yaml.Marshal(profiles.Profile{Format: profiles.Format, Name: "test", Facts: f, Assumed: assumed})
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "printer.yaml")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// readBook prints the job on the printer of its profile, folds the sheets and
// checks the book.
func readBook(t *testing.T, r *printtest.Reader, folder string) {
	t.Helper()
	j := printtest.Load(t, folder)
	j.Read(t, j.Print(t, r, printtest.Printer(t, j.Profile.Facts)), 0.1)
}

// TestPrintFilesMakeTheBookOnEveryPrinter reads the prepared PDF files back
// with PDFium, puts them through a virtual printer and virtual folding, for
// all 144 printers or a sample, and expects pages 1..n upright where they belong.
func TestPrintFilesMakeTheBookOnEveryPrinter(t *testing.T) {
	t.Parallel()
	source := printtest.Book(t, 29)
	set := setting(t)
	r := new(printtest.Reader)
	printers := 0
	for _, facts := range printertest.Some(t, 1) {
		printers++
		o := options.Options{Printer: profileFile(t, facts), Sheets: 3, Run: options.Run{Most: 6}}
		folder, made := prepared(t, source, o, set)
		if len(made.Runs) != 2 || made.Sheets != 8 {
			t.Fatalf("%d runs with %d sheets, want 2 with 8", len(made.Runs), made.Sheets)
		}
		readBook(t, r, folder)
	}
	t.Logf("%d printers, %d different files", printers, r.Files())
	if r.Files() < 12 {
		t.Errorf("of %d printers the files are %d", printers, r.Files())
	}
}

func TestBookBoundAtTheRight(t *testing.T) {
	source := printtest.Book(t, 16)
	for _, name := range profiles.Builtin() {
		folder, _ := prepared(t, source, options.Options{Printer: name, Bind: reorder.BindRight}, setting(t))
		readBook(t, new(printtest.Reader), folder)
	}
}

// TestTrialGathering prints one gathering and finds it to be that of the book.
func TestTrialGathering(t *testing.T) {
	source := printtest.Book(t, 40)
	folder, made := prepared(t, source, options.Options{OnlyGathering: 2, Sheets: 4}, setting(t))
	if len(made.Gatherings) != 1 || made.Gatherings[0].Number != 2 || made.Gatherings[0].FirstSheet != 5 {
		t.Fatalf("the plan holds %+v", made.Gatherings)
	}
	readBook(t, new(printtest.Reader), folder)
}
