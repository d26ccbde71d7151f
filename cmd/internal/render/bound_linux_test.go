package render

import (
	"errors"
	"os"
	"os/exec"
	"sync"
	"syscall"
	"testing"
)

// boundVariable marks the process that is measured.
const boundVariable = "FOLDWRIGHT_RENDER_BOUND"

var boundOptions = Options{Workers: 2, WorkerMemory: 128 << 20}

// A process that draws nothing but pages that want more than there is, on all
// workers at once, has to stay below the bound. The process is this test again.
func TestTheProcessStaysBelowTheBound(t *testing.T) {
	if os.Getenv(boundVariable) != "" {
		exhaust(t)
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
	bound := r.Bound()
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

func exhaust(t *testing.T) {
	r, err := Start(t.Context(), boundOptions)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
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
