package output

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/profiles/publish"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"golang.org/x/sync/errgroup"
)

// Job is a draft that is written, as a whole or sheets of it once more.
type Job struct {
	*plan.Draft
	// Folder is the name of the job's folder, by which command lines on its run
	// sheet call it; [Job.Write] takes it from the place.
	Folder string
	// Inspect, if set, looks at the finished folder before it is published; its
	// error keeps the folder from being.
	Prove func(ctx context.Context, dir string) error
	// Kept, if set, is told what a folder that is replaced held besides the files
	// of its record; the new one holds it too.
	Kept func(names []string)
}

// RunSheetFile is the name of the run sheet in a job's folder.
const RunSheetFile = "run-sheet.html"

// Progress is told about the sides written; its method may be called from
// several goroutines.
type Progress interface{ Step(sides int) }

// Write writes the folder of the job to place, complete or not at all, and
// returns its plan. An existing folder is replaced only if replace is set and
// it holds a plan of this program; what that does not name is kept, see [Job].
func (d Job) Write(ctx context.Context, place string, replace bool, progress Progress) (plan.Plan, error) {
	var made plan.Plan
	o := jobPlace(d.Path(), replace)
	o.Kept = d.Kept
	d.Folder = FolderName(place)
	err := publish.Folder(ctx, place, o, func(ctx context.Context, dir string) error {
		files, err := d.writePrintFiles(ctx, dir, progress)
		if err != nil {
			return err
		}
		if err := d.Unchanged(); err != nil {
			return err
		}
		// Only now everything is known that there is to warn about.
		sheet, err := writeFile(filepath.Join(dir, RunSheetFile), func(w io.Writer) error {
			return runsheet.Write(w, d.runSheet())
		})
		if err != nil {
			return err
		}
		made = d.Draft.Plan()
		made.Source.Path = plan.WayTo(d.Path(), dir) // which lies beside the place
		made.Files = append(files, sheet)
		data, err := made.Encode()
		if err != nil {
			return err
		}
		_, err = writeFile(filepath.Join(dir, plan.File), func(w io.Writer) error {
			_, err := w.Write(data)
			return err
		})
		if err == nil && d.Prove != nil {
			err = d.Prove(ctx, dir)
		}
		return err
	})
	return made, err
}

// FolderName is the name by which a command line calls a folder from the one
// above it.
func FolderName(place string) string {
	if abs, err := filepath.Abs(place); err == nil {
		place = abs
	}
	return filepath.Base(place)
}

// writePrintFiles writes the print files, and those of the trial sheet, side by
// side on the cores.
func (d Job) writePrintFiles(ctx context.Context, dir string, progress Progress) ([]plan.Entry, error) {
	type file struct {
		plan.Pass
		write func(ctx context.Context, w io.Writer) error
	}
	var files []file
	for _, f := range d.checkFiles() {
		files = append(files, file{f, func(ctx context.Context, w io.Writer) error { return d.writeCheck(ctx, w, f) }})
	}
	for _, run := range d.Runs {
		for _, f := range run.Passes {
			files = append(files, file{f, func(ctx context.Context, w io.Writer) error {
				return d.Document.Write(ctx, w, d.printFile(run, f))
			}})
		}
	}
	entries := make([]plan.Entry, len(files))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0))
	for i, f := range files {
		group.Go(func() (err error) {
			entries[i], err = writeFile(filepath.Join(dir, f.Name), func(w io.Writer) error { return f.write(ctx, w) })
			progress.Step(len(f.Images))
			return err
		})
	}
	return entries, group.Wait()
}

// writeFile creates a file that must not exist and digests what is written.
func writeFile(path string, write func(io.Writer) error) (entry plan.Entry, err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return entry, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	digest := sha256.New()
	out := &failing{Writer: f}
	buffered := bufio.NewWriterSize(io.MultiWriter(out, digest), 64<<10)
	err = write(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if out.err != nil {
		return entry, out.err // whatever the writer made of it: the output failed
	}
	if err != nil {
		return entry, err
	}
	info, err := f.Stat()
	if err != nil {
		return entry, err
	}
	return plan.Entry{Name: filepath.Base(path), SHA256: hex.EncodeToString(digest.Sum(nil)), Bytes: info.Size()}, nil
}

// failing remembers why it could not be written, so that a full disk is not
// taken for a fault of the source that was being copied.
type failing struct {
	io.Writer
	err error
}

func (o *failing) Write(p []byte) (int, error) {
	n, err := o.Writer.Write(p)
	if err != nil {
		o.err = err
	}
	return n, err
}

// CheckOutput refuses, before the source is read, an output that could not be
// written.
func CheckOutput(place, source string, replace bool) error {
	return publish.Check(place, jobPlace(source, replace))
}

// jobPlace is how a job is published.
func jobPlace(source string, replace bool) publish.Options {
	return publish.Options{Replace: replace, Ours: plan.Files, Reads: []string{source}}
}
