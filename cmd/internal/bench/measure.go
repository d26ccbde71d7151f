package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"time"
)

// cost is what one run of a program took.
type cost struct {
	wall, cpu time.Duration
	peak      int64 // bytes of memory; 0: the system does not tell
	written   int64 // bytes
}

// measure runs a command to its end. A small process of its own starts it,
// for a new process is counted with the memory of the one that starts it.
func measure(ctx context.Context, name string, args ...string) (c cost, err error) {
	self, err := os.Executable()
	if err != nil {
		return c, err
	}
	cmd := exec.CommandContext(ctx, self, append([]string{measured, name}, args...)...)
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return c, fmt.Errorf("%s: %w: %s", filepath.Base(name), err, said.Bytes())
	}
	_, err = fmt.Sscan(string(out), &c.wall, &c.cpu, &c.peak)
	return c, err
}

// measured is the word by which this program is asked to start a command and
// to print its cost in nanoseconds, nanoseconds and bytes.
const measured = "measured"

func startMeasured(name string, args []string) error {
	cmd := exec.Command(name, args...)
	cmd.Stderr = os.Stderr
	begun := time.Now()
	err := cmd.Run()
	wall := time.Since(begun)
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == 3 && filepath.Base(name) == "qpdf" {
		err = nil // qpdf wrote the file and warned
	}
	if err != nil {
		return err
	}
	s := cmd.ProcessState
	_, err = fmt.Println(int64(wall), int64(s.UserTime()+s.SystemTime()), peakMemory(s))
	return err
}

// size is the bytes of the PDF files at a path, a file or a folder.
func size(path string) (sum int64, err error) {
	return sizeOf(path, func(name string) bool { return filepath.Ext(name) == ".pdf" })
}

// sizeOf is the bytes of all files that are wanted.
func sizeOf(path string, wanted func(name string) bool) (sum int64, err error) {
	err = filepath.WalkDir(path, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !wanted(path) {
			return err
		}
		info, err := e.Info()
		if err == nil {
			sum += info.Size()
		}
		return err
	})
	return sum, err
}

// add is the cost of one run after the other.
func (c cost) add(next cost) cost {
	return cost{c.wall + next.wall, c.cpu + next.cpu, max(c.peak, next.peak), c.written + next.written}
}

// middle takes the middle of each figure by itself.
func middle(all []cost) cost {
	by := func(of func(cost) int64) int64 {
		var v []int64
		for _, c := range all {
			v = append(v, of(c))
		}
		slices.Sort(v)
		return v[len(v)/2]
	}
	return cost{
		wall:    time.Duration(by(func(c cost) int64 { return int64(c.wall) })),
		cpu:     time.Duration(by(func(c cost) int64 { return int64(c.cpu) })),
		peak:    by(func(c cost) int64 { return c.peak }),
		written: by(func(c cost) int64 { return c.written }),
	}
}
