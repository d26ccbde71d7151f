package plan

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// refuse says why a folder's plan cannot be used.
func refuse(folder, format string, args ...any) error {
	return refusal.Plan.New("%s: %w", folder, fmt.Errorf(format, args...))
}

// Read reads and checks the plan in a folder.
func Read(folder string) (p Plan, err error) {
	if err := readPlan(folder, &p, &p.Record); err != nil {
		return Plan{}, err
	}
	if err := p.Profile.Check(); err != nil {
		return Plan{}, refuse(folder, "%w", err)
	}
	if err := p.check(); err != nil {
		return Plan{}, refuseDamaged(folder, err)
	}
	return p, nil
}

// Brief is what a shelf asks of the plans of all its titles.
type Brief struct {
	Made
	Profile struct{ Name string }
	Inserts []Insert
}

// ReadBrief reads that much of the plan in a folder.
func ReadBrief(folder string) (b Brief, err error) {
	err = readPlan(folder, &b, &b.Record)
	if err == nil && (!isCount(b.Sheets) || b.Source.check() != nil) {
		err = refuseDamaged(folder, fmt.Errorf("it counts %d sheets and %d pages", b.Sheets, b.Source.Pages))
	}
	if err != nil {
		return Brief{}, err
	}
	return b, nil
}

// readPlan reads what into has of the plan in a folder; record is its beginning.
func readPlan(folder string, into any, record *Record) error {
	data, err := regular.Read(filepath.Join(folder, File), MostRecord)
	if err != nil {
		if info, e := os.Stat(folder); e == nil && !info.IsDir() {
			what := "file"
			if isPDF(folder) {
				what = "PDF"
			}
			return refusal.Plan.New("%s: is a %s, not the folder of a job", folder, what).Advise("%s", likelyFolder(folder))
		}
		return refuse(folder, "has no plan that can be read: %w", err)
	}
	if err := json.Unmarshal(data, into); err != nil {
		return refuseDamaged(folder, err)
	}
	if record.Kind != Kind {
		return refuse(folder, "%s is not a plan of this program", File)
	}
	if record.Format != Format {
		return refuse(folder, "%s has format %d, this program reads format %d", File, record.Format, Format)
	}
	return nil
}

// MostRecord is several times the bytes of the plan of a book of a million pages,
// and of any other record of ours.
const MostRecord = 64 << 20

func refuseDamaged(folder string, err error) error {
	return refuse(folder, "%s is damaged: %w", File, err)
}
