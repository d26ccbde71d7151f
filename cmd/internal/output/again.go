package output

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"foldwright/cmd/internal/plan"
	"foldwright/profiles/publish"
	"foldwright/profiles/regular"
)

// MendingFile is the name of the record in the folder of a reprint or of the
// rest of a run.
const MendingFile = "mending.json"

const (
	mendingKind   = "foldwright mending"
	mendingFormat = 1
)

// Mending is what the record of a reprint or of the rest of a run says.
type Mending struct {
	Kind           string       `json:"kind"`
	Format         int          `json:"format"`
	ProgramVersion string       `json:"program_version"`
	What           string       `json:"what"` // reprint or rest
	Source         plan.Source  `json:"source"`
	Sheets         string       `json:"sheets"` // their numbers in the book
	Files          []plan.Entry `json:"files"`
}

// CheckMending refuses an output that could not be written.
func CheckMending(place string, replace bool) error {
	return publish.Check(place, publish.Options{Replace: replace, Ours: mendingFiles})
}

// mendingFiles names the files of a reprint or of the rest of a run.
func mendingFiles(dir string) []string {
	data, err := regular.Read(filepath.Join(dir, MendingFile), plan.MostRecord)
	if err != nil {
		return nil
	}
	var m Mending
	if json.Unmarshal(data, &m) != nil || m.Kind != mendingKind {
		return nil
	}
	return plan.Named(m.Files, MendingFile)
}

// writeAgain writes a folder that mends a job: print files, a run sheet and a
// record. The plan of the job stays as it is.
func (d Job) writeAgain(ctx context.Context, place string, replace bool, record Mending, files []printedAgain, sheet func(io.Writer) error) error {
	record.Kind, record.Format, record.ProgramVersion = mendingKind, mendingFormat, d.Version
	record.Source = d.PlanSource()
	o := publish.Options{Replace: replace, Ours: mendingFiles, Reads: []string{d.Path()}, Kept: d.Kept}
	return publish.Folder(ctx, place, o, func(ctx context.Context, dir string) error {
		put := func(name string, write func(io.Writer) error) error {
			entry, err := writeFile(filepath.Join(dir, name), write)
			record.Files = append(record.Files, entry)
			return err
		}
		for _, f := range files {
			if err := put(f.pass.Name, func(w io.Writer) error { return f.encode(ctx, w) }); err != nil {
				return err
			}
		}
		if err := put(RunSheetFile, sheet); err != nil {
			return err
		}
		data, err := json.MarshalIndent(record, "", "  ")
		if err != nil {
			return err
		}
		return os.WriteFile(filepath.Join(dir, MendingFile), append(data, '\n'), 0o666)
	})
}

// again is one print file with sides of the job: its images count the sheets
// of the reprint.
func (d Job) again(places []place, what string, f plan.Pass) printedAgain {
	return printedAgain{d, places, what, f}
}

type printedAgain struct {
	Job
	places []place
	what   string
	pass   plan.Pass
}

func (a printedAgain) encode(ctx context.Context, w io.Writer) error {
	out := a.printFile(plan.Run{}, plan.Pass{Pass: a.pass.Pass})
	out.Title = fmt.Sprintf("%s, %s, %s", a.Name, a.what, a.pass.Pass)
	for _, image := range a.pass.Images {
		p := a.places[image.Sheet-1]
		image.Sheet = p.inRun
		out.Sides = append(out.Sides, a.side(p.run, image))
	}
	return a.Document.Write(ctx, w, out)
}
