package library

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"

	"foldwright/reorder/refusal"
)

const (
	benchFile   = "bench.json"
	benchKind   = "foldwright bench"
	benchFormat = 1
	benchFolder = "bench"
)

// benchRecord is bench.json: what was typed at the bench, by volumes and by the boxes it was typed into.
// It stands beside the job's folder, which is replaced when the book is prepared again.
type benchRecord struct {
	Kind    string                       `json:"kind"`
	Format  int                          `json:"format"`
	Volumes map[string]map[string]string `json:"volumes"`
}

// Measured is what was typed at the bench for a volume, from 1, by the keys of its boxes; nil: nothing yet.
func (b Book) Measured(volume int) (map[string]string, error) {
	r, err := b.readBench()
	return r.Volumes[strconv.Itoa(volume)], err
}

// KeepMeasured writes down what was typed for a volume, complete or not at all. A record that cannot be read is
// refused and left as it is.
func (b Book) KeepMeasured(volume int, typed map[string]string) error {
	b.library.mutex.Lock()
	defer b.library.mutex.Unlock()
	r, err := b.readBench()
	if err != nil {
		return err
	}
	r.Volumes[strconv.Itoa(volume)] = typed
	return b.library.writeRecord(path.Join(b.ID, benchFile), r)
}

func (b Book) readBench() (benchRecord, error) {
	r := benchRecord{Kind: benchKind, Format: benchFormat, Volumes: map[string]map[string]string{}}
	data, err := b.library.root.ReadFile(path.Join(b.ID, benchFile))
	if errors.Is(err, fs.ErrNotExist) {
		return r, nil
	}
	if err == nil {
		err = json.Unmarshal(data, &r)
	}
	if err == nil && (r.Kind != benchKind || r.Format != benchFormat || r.Volumes == nil) {
		err = errors.New("it is no record of measurements, or one of a later version")
	}
	if err != nil {
		return benchRecord{}, refusal.Plan.New("%s cannot be read: %w", filepath.Join(b.Dir(), benchFile), err).
			Advise("move the file away and enter your measurements again")
	}
	return r, nil
}

// Bench is the folder for the bench sheet and the piercing guide of a volume; 0: the book is one.
func (b Book) Bench(volume int) string {
	name := benchFolder
	if volume > 0 {
		name = fmt.Sprintf("%s-%d", benchFolder, volume)
	}
	return filepath.Join(b.Dir(), name)
}
