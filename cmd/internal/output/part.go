package output

import (
	"context"
	"fmt"
	"io"
	"path/filepath"

	"foldwright/cmd/internal/joblog"
	"foldwright/cmd/internal/plan"
	"foldwright/profiles/publish"
	"foldwright/reorder/lists"
)

// Part is sheets of a job that are printed into a folder of their own: those of a
// [Reprint] or of a [Remainder]. The plan of the job stays as it is.
type Part struct {
	Folder  string // its name within the job's folder, unless somebody says otherwise
	Numbers string // of its sheets in the book: 7,9-11
	numbers []int
	Sheets  int
	job     Job
	kind    string  // reprint or remainder
	title   string  // of its print files
	places  []place // images of its files count these
	files   []plan.Pass
	tell    func(io.Writer) error // writes the run sheet
	logged  joblog.Line           // what the job's log says of it; zero: nothing, it is printed for the first time
}

// place is a sheet of the job by its run.
type place struct {
	run   plan.Run
	inRun int // from 1
}

// number is the number in the book of a sheet.
func (d Job) number(p place) int { return d.Sheet(p.run, p.inRun).Sheet.Number }

// partRecord is what reprint.json and remainder.json hold.
type partRecord struct {
	plan.Record
	SheetNumbers []int `json:"sheet-numbers"` // in the book
}

// Write writes the folder of the part to place, complete or not at all.
func (p *Part) Write(ctx context.Context, place string, replace bool) error {
	kind, name := "foldwright "+p.kind, p.kind+".json"
	record := partRecord{plan.Record{Kind: kind, Format: plan.Format, ProgramVersion: p.job.Version, Source: p.job.PlanSource()}, p.numbers}
	o := publish.Options{Replace: replace, Reads: p.job.Paths(), Kept: p.job.Kept}
	o.Ours = func(dir string) []string { return plan.FilesOf(dir, name, kind) }
	return publish.Folder(ctx, place, o, func(ctx context.Context, dir string) error {
		files := lists.Map(p.files, func(f plan.Pass) file {
			return file{name: f.Name, write: func(ctx context.Context, w io.Writer) error { return p.encode(ctx, w, f) }}
		})
		// At last, when everything is known that there is to warn about.
		files = append(files, file{name: RunSheetFile, write: func(_ context.Context, w io.Writer) error { return p.tell(w) }})
		var err error
		if record.Files, err = writeAll(ctx, files, 1, intoFolder(dir), silent{}); err != nil {
			return err
		}
		return plan.WriteRecord(filepath.Join(dir, name), record)
	})
}

// TellLog writes into the log of the job's folder that the sheets are printed once more.
func (p *Part) TellLog(ctx context.Context, folder string) error {
	if p.logged.What == "" {
		return nil
	}
	return joblog.Append(ctx, folder, p.logged)
}

// Files is the names of its print files.
func (p *Part) Files() []string {
	return lists.Map(p.files, func(f plan.Pass) string { return f.Name })
}

// encode writes a print file.
func (p *Part) encode(ctx context.Context, w io.Writer, f plan.Pass) error {
	out := p.job.printFile(plan.Run{}, plan.Pass{Pass: f.Pass})
	out.Title = fmt.Sprintf("%s, %s, %s", p.job.Name, p.title, f.Pass)
	for _, image := range f.Images {
		at := p.places[image.Sheet-1]
		image.Sheet = at.inRun
		out.Sides = append(out.Sides, p.job.side(at.run, image))
	}
	return p.job.Sequence.Write(ctx, w, out)
}

type silent struct{}

func (silent) Step(int) {}
