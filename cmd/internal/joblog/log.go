package joblog

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"foldwright/cmd/internal/plan"
	"foldwright/profiles/lock"
	"foldwright/profiles/regular"
	"foldwright/reorder/refusal"
)

// File is the name of the log in a job's folder.
const File = "job-log.txt"

// lockFile is locked while the log is written.
const lockFile = ".job-log.lock"

// head is the first line of the file; format 1 is what follows it.
const head = "# Foldwright's log of this job, format 1. A line for each thing that happened: when, what, and its facts."

// Log is what the file holds.
type Log struct {
	Lines   []Line
	Strange int // lines that nobody can read, such as those that a person has written between
}

// Read reads the log of a job's folder; where there is none it is empty.
func Read(folder string) (Log, error) {
	data, err := read(folder)
	return parseAll(data), err
}

func read(folder string) ([]byte, error) {
	data, err := regular.Read(filepath.Join(folder, File), plan.MostRecord)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return data, err
}

func parseAll(data []byte) (log Log) {
	for line := range strings.Lines(string(data)) {
		text := strings.TrimSpace(line)
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		if l, ok := parse(text); ok {
			log.Lines = append(log.Lines, l)
		} else {
			log.Strange++
		}
	}
	return log
}

// Update adds lines to the log: more is given what stands there already and returns them, and meanwhile nobody else
// writes. A line without a time gets that of now, one without a plan that of the folder. What stands there is never
// changed, not even half a line that a kill has left: the next one begins on a line of its own.
func Update(ctx context.Context, folder string, more func(Log) []Line) (err error) {
	held, err := acquire(context.WithoutCancel(ctx), filepath.Join(folder, lockFile))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, held.Release()) }()
	data, err := read(folder)
	if err != nil {
		return err
	}
	lines := more(parseAll(data))
	if len(lines) == 0 {
		return nil
	}
	var text strings.Builder
	switch {
	case len(data) == 0:
		text.WriteString(head + "\n")
	case data[len(data)-1] != '\n':
		text.WriteString("\n")
	}
	for _, l := range lines {
		if l.Time.IsZero() {
			l.Time = time.Now()
		}
		if l.Get(PlanKey) == "" {
			of, err := PlanOf(folder)
			if err != nil {
				return err
			}
			l = l.With(PlanKey, of)
		}
		text.WriteString(l.String() + "\n")
	}
	return write(filepath.Join(folder, File), int64(len(data)), text.String())
}

// Append is [Update] with lines that are known.
func Append(ctx context.Context, folder string, lines ...Line) error {
	return Update(ctx, folder, func(Log) []Line { return lines })
}

// write writes a text from a place on, and onto the disk.
func write(path string, from int64, text string) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o666)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.WriteAt([]byte(text), from); err != nil {
		return errors.Join(err, f.Truncate(from)) // the disk may be full: no half of a line stays
	}
	return f.Sync()
}

// acquire takes the lock, which nobody holds longer than a line takes.
func acquire(ctx context.Context, path string) (*lock.Lock, error) {
	const patience = 10 * time.Second
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		held, err := lock.Acquire(path)
		if !errors.Is(err, lock.ErrHeld) {
			return held, err
		}
		if time.Now().After(end) || ctx.Err() != nil {
			return nil, refusal.Output.New("%s is being written by another foldwright", filepath.Join(filepath.Dir(path), File)).Advise("wait until it is done")
		}
	}
}

// PlanOf names the plan in a folder: the beginning of its digest. What was measured of another plan tells
// nothing of this one.
func PlanOf(folder string) (string, error) {
	sum, err := plan.FileSHA256(filepath.Join(folder, plan.File))
	if err != nil {
		return "", err
	}
	return sum[:planDigits], nil
}
