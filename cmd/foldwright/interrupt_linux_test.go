package main

import (
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
	"unsafe"
)

// asProgram makes the test program play the program.
const asProgram = "FOLDWRIGHT_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(m.Run())
}

// TestInterruptedBeforeMain ends the program while packages are still
// initialised: the runtime tells of each, and is held up when a pipe is full.
func TestInterruptedBeforeMain(t *testing.T) {
	p := start(t)
	end := time.Now().Add(time.Minute)
	for held, last := 0, -1; held < 3; time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("it was never held up")
		}
		now := waiting(t, p.out)
		if now > page*9/10 && now == last {
			held++
		}
		last = now
	}
	ended := p.interrupt(t)
	if ended.status != 130 || !strings.Contains(ended.said, "foldwright: interrupted") || ended.complete {
		t.Errorf("%v, %s", ended.state, ended.said)
	}
	if before, _, _ := strings.Cut(ended.said, "init foldwright/"); len(before) > page*9/10 {
		t.Errorf("no package of ours was initialised when it was held up: %s", before)
	}
}

// TestInterruptedAtEarlyMoments ends the program at random moments: the status
// says so, or the job is complete. Before the first package of ours is initialised
// a signal is not ours to hear.
func TestInterruptedAtEarlyMoments(t *testing.T) {
	random := rand.New(rand.NewPCG(18, 1906))
	seen := map[int]int{}
	for range 20 {
		p := start(t)
		after := time.Duration(random.Int64N(int64(40 * time.Millisecond)))
		time.AfterFunc(after, func() { _ = p.cmd.Process.Signal(syscall.SIGTERM) }) // it may have ended
		end := p.finish(t)
		seen[end.status]++
		tooEarly := end.status == -1 && !strings.Contains(end.said, "init foldwright/")
		if end.status != 130 && end.status != 0 && !tooEarly || end.complete != (end.status == 0) {
			t.Errorf("after %v: %v, a folder: %t, %s", after, end.state, end.complete, end.said)
		}
	}
	t.Logf("statuses: %v", seen)
}

// page is how much the smallest pipe holds.
const page = 4096

// program is a job that is being prepared.
type program struct {
	cmd *exec.Cmd
	dir string
	out *os.File // what it says, through a pipe of one page
}

func start(t *testing.T) program {
	t.Helper()
	dir := t.TempDir()
	out, in, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	const setPipeSize = 1031 // F_SETPIPE_SZ of fcntl(2)
	if n, _, e := syscall.Syscall(syscall.SYS_FCNTL, in.Fd(), setPipeSize, page); e != 0 || n != page {
		t.Fatalf("the pipe holds %d: %v", n, e)
	}
	cmd := exec.Command(os.Args[0], "prepare", "../../testdata/larkhaven.pdf", "--quiet", "--out", filepath.Join(dir, "job"))
	cmd.Env = append(os.Environ(), asProgram+"=yes", "GODEBUG=inittrace=1")
	cmd.Stderr = in
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return program{cmd, dir, out}
}

// waiting is how many bytes lie in a pipe.
func waiting(t *testing.T, f *os.File) int {
	t.Helper()
	var n int32
	if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, f.Fd(), syscall.TIOCINQ, uintptr(unsafe.Pointer(&n))); e != 0 {
		t.Fatal(e)
	}
	return int(n)
}

type ending struct {
	state    *os.ProcessState
	status   int // -1: ended by the signal
	said     string
	complete bool
}

func (p program) interrupt(t *testing.T) ending {
	t.Helper()
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	return p.finish(t)
}

// finish hears the program out.
func (p program) finish(t *testing.T) ending {
	t.Helper()
	said, err := io.ReadAll(p.out)
	if err != nil {
		t.Fatal(err)
	}
	_ = p.out.Close() // only read
	_ = p.cmd.Wait()  // what it says is in the state
	entries, err := os.ReadDir(p.dir)
	if err != nil {
		t.Fatal(err)
	}
	return ending{p.cmd.ProcessState, p.cmd.ProcessState.ExitCode(), string(said), len(entries) > 0}
}
