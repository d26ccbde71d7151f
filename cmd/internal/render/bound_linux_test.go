package render

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"
	"testing"
	"time"
)

var boundOptions = Options{Workers: 2, WorkerMemory: 128 << 20}

// Processes that draw nothing but pages that want more than there is have to stay below the bound, all together.
func TestTheProcessesStayBelowTheBound(t *testing.T) {
	if RaceDetector {
		t.Skip("the race detector takes several times the memory of the program")
	}
	o := boundOptions
	first := Start(o) // fills the cache: translating is no part of the bound
	if _, err := first.OpenBytes(t.Context(), "nothing", []byte("no PDF file"), ""); !errors.Is(err, ErrUnreadable) {
		t.Fatal(err)
	}
	first.Close()
	others := Children(t) // of the renderer that tests share
	r := Start(o)
	defer r.Close()
	done := make(chan struct{})
	go func() {
		defer close(done)
		exhaust(t, r)
	}()
	most, processes := int64(0), 0
	for looking := true; looking; {
		select {
		case <-done:
			looking = false
		case <-time.After(5 * time.Millisecond):
		}
		pids := slices.DeleteFunc(Children(t), func(pid int) bool { return slices.Contains(others, pid) })
		sum := int64(0)
		for _, pid := range pids {
			sum += resident(pid)
		}
		most, processes = max(most, sum), max(processes, len(pids))
	}
	t.Logf("%d MB at most in %d processes, bound %d MB", most>>20, processes, boundOf(o)>>20)
	if most > boundOf(o) || most < o.WorkerMemory || processes != o.Workers {
		t.Errorf("%d MB in %d processes, want at most %d MB in %d", most>>20, processes, boundOf(o)>>20, o.Workers)
	}
}

// resident is the memory that a process has in use, 0 when it has ended.
func resident(pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/statm", pid))
	if err != nil {
		return 0
	}
	var size, pages int64
	if _, err := fmt.Sscan(string(text), &size, &pages); err != nil {
		return 0
	}
	return pages * int64(os.Getpagesize())
}

// exhaust draws pages that want more memory than there is, on all workers at once.
func exhaust(t *testing.T, r *Renderer) {
	data := twoPages(200, "/Filter /FlateDecode", spaces(t, 2*int(boundOptions.WorkerMemory)))
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			d, err := r.OpenBytes(t.Context(), "bomb.pdf", data, "")
			if err != nil {
				t.Error(err)
				return
			}
			defer d.Close()
			for range 2 {
				if _, err := d.Gray(t.Context(), 1, 72); !errors.Is(err, ErrMemory) {
					t.Errorf("got %v, want ErrMemory", err)
				}
			}
		})
	}
	group.Wait()
}

// engineSize is what is needed besides, once per process: the machine code and
// the module. A process that has started an engine holds 50 MB in all.
const engineSize = 100 << 20

// boundOf is the most memory in bytes that a renderer with these options takes, pictures handed out left aside.
func boundOf(o Options) int64 {
	o = o.withDefaults()
	return int64(o.Workers-1)*o.smallMemory() + o.WorkerMemory + int64(o.Workers)*engineSize
}
