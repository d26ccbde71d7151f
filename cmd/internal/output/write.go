package output

import (
	"bufio"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"foldwright/cmd/internal/plan"
	"foldwright/cmd/internal/runsheet"
	"foldwright/profiles/publish"
	"foldwright/reorder/lists"
	"foldwright/reorder/phrase"
)

// Job is a draft that is written, as a whole or sheets of it once more.
type Job struct {
	*plan.Draft
	// Folder is the name of the job's folder, by which command lines on its run
	// sheet call it; [Job.Write] takes it from the place.
	Folder string
	// Style is how options and commands are written on what a person reads.
	Style phrase.Style
	// Prove, if set, looks at the finished folder before it is published; its
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
	if err := plan.CheckIdle(place); err != nil {
		return made, err
	}
	reads := d.Paths()
	for _, in := range d.Inserts {
		if in.Job() != nil {
			reads = append(reads, in.Job().Paths()...)
		}
	}
	o := jobPlace(reads, replace)
	o.Kept = d.Kept
	d.Folder = FolderName(place)
	err := publish.Folder(ctx, place, o, func(ctx context.Context, dir string) error {
		var more []plan.Entry
		for _, in := range d.Inserts {
			if in.Job() == nil {
				continue
			}
			job := Job{Draft: in.Job(), Folder: in.Name, Style: d.Style}
			entries, err := job.writeWithin(ctx, dir, progress)
			if err != nil {
				return err
			}
			more = append(more, entries...)
		}
		var err error
		if made, err = d.fill(ctx, dir, progress, more); err != nil {
			return err
		}
		if d.Prove != nil {
			err = d.Prove(ctx, dir)
		}
		return errors.Join(err, plan.CheckIdle(place)) // it may have begun meanwhile
	})
	return made, err
}

// fill writes the files of the job into a folder, its plan last. It tells of more files, which lie in folders within.
func (d Job) fill(ctx context.Context, dir string, progress Progress, more []plan.Entry) (made plan.Plan, err error) {
	files, err := d.writePrintFiles(ctx, dir, progress)
	if err != nil {
		return made, err
	}
	if err := d.CheckUnchanged(); err != nil {
		return made, err
	}
	// Only now everything is known that there is to warn about.
	sheet, err := intoFolder(dir)(RunSheetFile, func(w io.Writer) error { return runsheet.Write(w, d.RunSheet()) })
	if err != nil {
		return made, err
	}
	made = d.Draft.Plan()
	made.Source = d.SourceIn(dir) // which lies beside the place
	made.Files = slices.Concat(files, []plan.Entry{sheet}, more)
	return made, plan.WriteRecord(filepath.Join(dir, plan.File), made)
}

// writeWithin writes the job that prints leaves of other paper into a folder within the book's, and names its files
// from there.
func (d Job) writeWithin(ctx context.Context, dir string, progress Progress) ([]plan.Entry, error) {
	within := filepath.Join(dir, d.Folder)
	if err := os.Mkdir(within, 0o777); err != nil {
		return nil, err
	}
	made, err := d.fill(ctx, within, progress, nil)
	if err != nil {
		return nil, err
	}
	record, err := plan.EntryOf(within, plan.File)
	if err != nil {
		return nil, err
	}
	return lists.Map(append(made.Files, record), func(e plan.Entry) plan.Entry { e.Name = d.Folder + "/" + e.Name; return e }), nil
}

// FolderName is the name by which a command line calls a folder from the one
// above it.
func FolderName(place string) string {
	if abs, err := filepath.Abs(place); err == nil {
		place = abs
	}
	return filepath.Base(place)
}

// writePrintFiles writes the print files, and those of the check sheet, side by
// side on the cores.
func (d Job) writePrintFiles(ctx context.Context, dir string, progress Progress) ([]plan.Entry, error) {
	var files []file
	for _, f := range d.checkFiles() {
		files = append(files, file{f.Name, len(f.Images), func(ctx context.Context, w io.Writer) error { return d.writeCheck(ctx, w, f) }})
	}
	for _, run := range d.Runs {
		for _, f := range run.Passes {
			files = append(files, file{f.Name, len(f.Images), func(ctx context.Context, w io.Writer) error {
				return d.Sequence.Write(ctx, w, d.printFile(run, f))
			}})
		}
	}
	return writeAll(ctx, files, runtime.GOMAXPROCS(0), intoFolder(dir), progress)
}

// file is a file that is to be written.
type file struct {
	name  string
	sides int
	write func(context.Context, io.Writer) error
}

// putter writes a file somewhere, and tells what was written.
type putter func(name string, write func(io.Writer) error) (plan.Entry, error)

// writeAll writes files, so many at once.
func writeAll(ctx context.Context, files []file, atOnce int, put putter, progress Progress) ([]plan.Entry, error) {
	entries := make([]plan.Entry, len(files))
	group, ctx := errgroup.WithContext(ctx)
	group.SetLimit(atOnce)
	for i, f := range files {
		group.Go(func() (err error) {
			entries[i], err = put(f.name, func(w io.Writer) error { return f.write(ctx, w) })
			progress.Step(f.sides)
			return err
		})
	}
	return entries, group.Wait()
}

// intoFolder creates files in a folder, which must not exist there.
func intoFolder(dir string) putter {
	return func(name string, write func(io.Writer) error) (entry plan.Entry, err error) {
		f, err := os.OpenFile(filepath.Join(dir, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if err != nil {
			return entry, err
		}
		defer func() { err = errors.Join(err, f.Close()) }()
		out := &failing{Writer: f}
		entry, err = digest(out, name, write)
		return entry, cmp.Or(out.err, err) // whatever the writer made of it: the output failed
	}
}

// digest writes a file of the given name to w.
func digest(w io.Writer, name string, write func(io.Writer) error) (plan.Entry, error) {
	sum, size := sha256.New(), new(counter)
	out := bufio.NewWriterSize(io.MultiWriter(w, sum, size), 64<<10)
	err := write(out)
	if err == nil {
		err = out.Flush()
	}
	return plan.Entry{Name: name, SHA256: hex.EncodeToString(sum.Sum(nil)), Bytes: int64(*size)}, err
}

// counter counts the bytes that are written to it.
type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
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
func CheckOutput(place string, sources []string, replace bool) error {
	return publish.Check(place, jobPlace(sources, replace))
}

// jobPlace is how a job is published.
func jobPlace(sources []string, replace bool) publish.Options {
	return publish.Options{Replace: replace, Ours: plan.Files, Reads: sources}
}
