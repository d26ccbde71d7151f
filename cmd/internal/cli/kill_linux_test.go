package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/proctest"
	"foldwright/reorder/sample"
)

// TestKilledShelfIsTheSame kills the shelf's process, or that of a title, at
// random moments, and starts the shelf again: the result has to be that of a
// run that nobody disturbed. FOLDWRIGHT_KILLS says how many moments; otherwise each of the
// two is killed once, and with FOLDWRIGHT_FULL over nothing and over earlier folders.
func TestKilledShelfIsTheSame(t *testing.T) {
	t.Parallel()
	kills := 2
	if sample.Full() {
		kills = 4
	}
	if n, err := strconv.Atoi(os.Getenv("FOLDWRIGHT_KILLS")); err == nil {
		kills = n
	}
	worklist := bookshelf(t)
	began := time.Now()
	want := finish(t, worklist, filepath.Join(t.TempDir(), "undisturbed"))
	whole := time.Since(began)
	random := sample.Random(t)
	struck := map[string]int{}
	const withTitles, title = "the shelf with titles in work", "a title"
	// On a machine that others use, too, moments may miss what they are for: then there are more.
	for i := 0; i < kills || i < 20*kills && (struck[withTitles] == 0 || struck[title] == 0); i++ {
		out := filepath.Join(t.TempDir(), "killed")
		if i%2 == 1 { // folders that are to be replaced
			finish(t, worklist, out, "--sheets", "3")
		}
		var said bytes.Buffer
		cmd := program(t, &said, "batch", worklist, "--out", out)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		moment := time.Duration(random.Int64N(int64(whole)))
		time.Sleep(moment)
		children := proctest.Children(t, cmd.Process.Pid)
		victim, who := cmd.Process.Pid, "the shelf"
		if (i%4 == 1 || i%4 == 2) && len(children) > 0 {
			victim, who = children[random.IntN(len(children))], title
		}
		if err := syscall.Kill(victim, syscall.SIGKILL); err != nil && err != syscall.ESRCH {
			t.Fatal(err)
		}
		_ = cmd.Wait() // killed, or with titles that failed
		switch {
		case len(children) > 0:
		case cmd.ProcessState.Exited(): // it had come to its end
			whole = max(moment, time.Millisecond)
		default: // it was just beginning, or all but at its end
			whole = min(whole+whole/2, time.Minute)
		}
		if victim == cmd.Process.Pid {
			for _, c := range children {
				proctest.AwaitGone(t, c)
			}
			if len(children) > 0 {
				who = withTitles
			}
		}
		struck[who]++
		finish(t, worklist, out).same(t, want, fmt.Sprintf("kill %d, of %s", i, who))
		if t.Failed() {
			return
		}
	}
	t.Logf("killed: %v", struck)
	if struck[withTitles] == 0 || struck[title] == 0 {
		t.Errorf("the moments were badly chosen: %v", struck)
	}
}
