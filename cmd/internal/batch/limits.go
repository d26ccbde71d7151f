package batch

import (
	"bufio"
	"os"
	"strconv"
	"strings"
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
	// LeastMemory is the least that a shelf can be given.
	LeastMemory = ownShare + floorPerTitle
)

// limits says how much memory a title may take.
type limits struct {
	all   Size // for all titles at once
	cores int
}

func newLimits(memory Size, cores int) limits { return limits{memory - ownShare, cores} }

// of is the limit of a title: an equal share of the memory, or more where the
// source is large, but never more than all; and all for a title that is tried alone.
func (l limits) of(t task) Size {
	floor := floorPerTitle
	if t.Proof {
		floor = floorProved
	}
	if t.alone {
		return l.all
	}
	return min(max(l.all/Size(l.cores), floor+Size(t.bytes)*perSourceByte), l.all)
}

// SystemMemory is half of the memory that the process may use, or 2 GiB where
// the system does not tell.
func SystemMemory() Size {
	memory := 4 * GiB
	if total := memoryTotal(); total > 0 {
		memory = total
	}
	// The limit of a container, control groups version 2 and 1.
	for _, file := range []string{"/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes"} {
		text, err := os.ReadFile(file)
		if err != nil {
			continue
		}
		if limit, err := strconv.ParseInt(strings.TrimSpace(string(text)), 10, 64); err == nil && limit > 0 {
			memory = min(memory, Size(limit))
		}
	}
	return max(memory/2, LeastMemory)
}

// memoryTotal is what /proc/meminfo says, 0 where there is none.
func memoryTotal() Size {
	f, err := os.Open("/proc/meminfo")
	if err != nil {
		return 0
	}
	defer f.Close()
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		fields := strings.Fields(lines.Text())
		if len(fields) == 3 && fields[0] == "MemTotal:" {
			kib, err := strconv.ParseInt(fields[1], 10, 64)
			if err != nil {
				return 0
			}
			return Size(kib) * KiB
		}
	}
	return 0
}
