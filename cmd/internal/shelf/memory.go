package shelf

import (
	"context"
	"fmt"
	"math"
	"os"
	"regexp"
	"runtime"
	"runtime/metrics"
	"strconv"
	"strings"
	"time"

	"foldwright/reorder/refusal"
)

// What a title's process takes, measured on text and picture books: a floor for the
// program and the renderer, more where each page is drawn, and a few times its source.
const (
	floorPerTitle Size = 96 * MiB
	floorProved   Size = floorPerTitle + perDrawer
	perDrawer     Size = 96 * MiB // of a page that is drawn, with its process
	perSourceByte      = 3
	// ownShare is kept for the process that watches over the titles.
	ownShare Size = 64 * MiB
	// leastMemory is the least that a shelf can be given.
	leastMemory = ownShare + floorPerTitle
)

type limits struct {
	all    Size // for all titles at once
	atOnce int  // most titles that are in work at one time
}

// of is the limit of a title: an equal share of the memory, or more where the
// source is large, but never more than all; and all for a title that is tried alone.
func (l limits) of(t *task) Size {
	floor := floorPerTitle
	if t.Title.Proof {
		floor = floorProved
	}
	if t.alone {
		return l.all
	}
	return min(max(l.all/Size(l.atOnce), floor+Size(t.bytes)*perSourceByte), l.all)
}

// systemMemory is half of the memory that the process may use, or 2 GiB where
// the system does not tell.
func systemMemory() Size {
	memory := 4 * GiB
	var kilobytes, limit Size
	if readNumbers("/proc/meminfo", "MemTotal: %d kB", &kilobytes) {
		memory = kilobytes * KiB
	}
	// The limit of a container, control groups version 2 and 1.
	for _, file := range []string{"/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes"} {
		if readNumbers(file, "%d", &limit) && limit > 0 {
			memory = min(memory, limit)
		}
	}
	return max(memory/2, leastMemory)
}

// readNumbers reads what a file of the system begins with, if it is there.
func readNumbers(file, format string, into ...any) bool {
	text, err := os.ReadFile(file)
	if err != nil {
		return false
	}
	n, _ := fmt.Sscanf(string(text), format, into...) // what is written otherwise is not known
	return n == len(into)
}

// watchEvery is how often the memory of a process is looked at. At a gigabyte
// per second it can pass its limit by 20 MB before it is ended.
const watchEvery = 20 * time.Millisecond

// canWatch tells whether the memory of another process can be seen. Elsewhere
// a process looks at its own memory instead.
const canWatch = runtime.GOOS == "linux"

// memoryOf is the memory in use by a process and by those that it has started,
// 0 when it has ended.
func memoryOf(pid int) Size {
	of := fmt.Sprintf("/proc/%d", pid)
	memory := resident(of)
	threads, err := os.ReadDir(of + "/task")
	if err != nil {
		return memory
	}
	for _, thread := range threads {
		children, err := os.ReadFile(of + "/task/" + thread.Name() + "/children")
		if err != nil {
			continue // a thread that has ended
		}
		for field := range strings.FieldsSeq(string(children)) {
			if child, err := strconv.Atoi(field); err == nil {
				memory += memoryOf(child)
			}
		}
	}
	return memory
}

// resident is the memory of one process, by its folder in /proc.
func resident(of string) Size {
	var all, pages Size
	readNumbers(of+"/statm", "%d %d", &all, &pages) // in pages: proc_pid_statm(5)
	return pages * Size(os.Getpagesize())
}

// watchOwn ends the process when the Go runtime holds more memory than the
// limit before the context ends. The renderer's memory is not among it; package render bounds that.
func watchOwn(ctx context.Context, limit Size, t *Teller) {
	sample := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	for tick := time.Tick(watchEvery); ; <-tick {
		if ctx.Err() != nil {
			return
		}
		metrics.Read(sample)
		if Size(sample[0].Value.Uint64()-sample[1].Value.Uint64()) > limit {
			_ = t.tell(message{Failure: memoryFailure(limit)})
			os.Exit(statusUnexpected)
		}
	}
}

// Size is an amount of memory or of file, in bytes.
type Size int64

const (
	KiB Size = 1 << 10
	MiB Size = 1 << 20
	GiB Size = 1 << 30

	sizeLetters = "KMG" // of the units, each 1024 of the one before
)

func (s Size) String() string {
	for i := len(sizeLetters); i > 0; i-- {
		if unit := Size(1) << (10 * i); s >= unit {
			return strconv.FormatFloat(math.Round(float64(s)/float64(unit)*10)/10, 'f', -1, 64) + " " + sizeLetters[i-1:i] + "iB"
		}
	}
	return fmt.Sprintf("%d bytes", int64(s))
}

var sizeText = regexp.MustCompile(`^\s*([0-9.]+)\s*([GMKgmk])([Ii]?[Bb])?\s*$`)

// UnmarshalText reads a number with GiB, MiB or KiB; gb, g and so on mean the same.
func (s *Size) UnmarshalText(text []byte) error {
	if found := sizeText.FindStringSubmatch(string(text)); found != nil {
		v, err := strconv.ParseFloat(found[1], 64)
		v *= float64(Size(1) << (10 * (1 + strings.Index(sizeLetters, strings.ToUpper(found[2])))))
		if err == nil && v > 0 && v < math.MaxInt64 {
			*s = Size(v)
			return nil
		}
	}
	return refusal.Use.New("%q is not an amount of memory: use for example 2GiB or 512MiB", text)
}

func (s Size) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
