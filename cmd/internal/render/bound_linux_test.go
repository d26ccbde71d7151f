package render

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync"
	"syscall"
	"testing"
	"time"
)

// boundVariable marks the process that is measured.
const boundVariable = "FOLDWRIGHT_RENDER_BOUND"

var boundOptions = Options{Workers: 2, WorkerMemory: 128 << 20}

// A process that draws nothing but pages that want more than there is, on all
// workers at once, has to stay below the bound. The process is this test again.
func TestTheProcessStaysBelowTheBound(t *testing.T) {
	if os.Getenv(boundVariable) != "" {
		r, err := Start(t.Context(), boundOptions)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		exhaust(t, r)
		return
	}
	if RaceDetector {
		t.Skip("the race detector takes several times the memory of the program")
	}
	// The process alone, with its tests and what they prepare.
	const besides = 100 << 20
	r, err := Start(t.Context(), boundOptions) // fills the cache: translating is no part of the bound
	if err != nil {
		t.Fatal(err)
	}
	bound := boundOf(boundOptions)
	r.Close()
	child := exec.Command(os.Args[0], "-test.run=^"+t.Name()+"$")
	child.Env = append(os.Environ(), boundVariable+"=1")
	if out, err := child.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	most := child.ProcessState.SysUsage().(*syscall.Rusage).Maxrss << 10 // Linux counts kilobytes
	t.Logf("%d MB at most, bound %d MB", most>>20, bound>>20)
	if most > bound+besides {
		t.Errorf("the process had %d MB, want at most %d MB and %d MB besides", most>>20, bound>>20, int64(besides)>>20)
	}
	if most < boundOptions.WorkerMemory {
		t.Errorf("the process had %d MB: the pages demanded nothing", most>>20)
	}
}

// The same for processes of their own, all together.
func TestTheProcessesStayBelowTheBound(t *testing.T) {
	if RaceDetector {
		t.Skip("the race detector takes several times the memory of the program")
	}
	r, err := Start(t.Context(), boundOptions) // fills the cache, as above
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	o := boundOptions
	o.PageTime = time.Hour
	r, err = Start(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
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
		pids := Children(t)
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
	data := twoPages(200, "/Filter /FlateDecode", spaces(t, 4*int(boundOptions.WorkerMemory)))
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
	processes := int64(1)
	if o.PageTime > 0 {
		processes = int64(o.Workers)
	}
	return int64(o.Workers-1)*o.smallMemory() + o.WorkerMemory + processes*engineSize
}
