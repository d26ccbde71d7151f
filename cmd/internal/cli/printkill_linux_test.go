package cli

import (
	"math/rand/v2"
	"os/exec"
	"testing"
	"time"

	"foldwright/printer/virtual"
	"foldwright/reorder/sample"
)

// runKilled runs print in a process of its own and kills it after a while, if it is
// still at work; ended tells that it has come to its end.
func (b *bench) runKilled(after time.Duration, args ...string) (ended bool) {
	b.T.Helper()
	cmd := exec.Command("program", append([]string{"print", "--to", b.Peer.URI, "--quiet"}, args...)...)
	cmd.Stderr = b
	typed, err := cmd.StdinPipe()
	if err != nil {
		b.T.Fatal(err)
	}
	b.typed = typed
	if err := cmd.Start(); err != nil {
		b.T.Fatal(err)
	}
	timer := time.AfterFunc(after, func() { _ = cmd.Process.Kill() }) // it may have ended
	defer timer.Stop()
	done := make(chan error, 1)
	go func() { done <- cmd.Wait() }()
	select {
	case err = <-done:
	case <-time.After(after + 5*time.Minute):
		b.T.Fatalf("it neither ends nor is killed:\n%s", b.Screen.String())
	}
	b.Lock()
	defer b.Unlock()
	b.begin = b.Screen.Len()
	return err == nil && cmd.ProcessState.Success()
}

// Killed at any moment, print asks what came out, and neither sends a sheet twice nor leaves
// one out.
func TestKilledPrintGoesOn(t *testing.T) {
	t.Parallel()
	random := sample.Random(t)
	kills, want := 0, 4
	if sample.Full() {
		want = 50
	}
	for kills < want {
		all := virtual.All()
		facts := all[random.IntN(len(all))]
		b := newBench(t, facts)
		b.Answer = b.TellTruth
		folder := b.job(4)
		for {
			after := time.Duration(20+rand.IntN(400)) * time.Millisecond
			if kills >= want {
				after = 5 * time.Minute
			}
			if b.runKilled(after, folder) {
				break
			}
			kills++
			if kills > 20*want {
				t.Fatalf("it never ends:\n%s", b.Screen.String())
			}
		}
		b.ReadBook(folder)
		b.log(folder)
	}
	t.Logf("killed %d times", kills)
}
