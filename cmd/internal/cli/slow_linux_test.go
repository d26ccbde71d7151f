package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"foldwright/cmd/internal/testkit/proctest"
	"foldwright/reorder/sample"
)

// TestEndedWhileItDraws ends the program while a page is drawn that takes minutes: as
// the system asks it to, as Ctrl-C does, which all processes at the terminal hear, and
// without asking. No process is left, and nothing but the sentence is said.
func TestEndedWhileItDraws(t *testing.T) {
	t.Parallel()
	book := filepath.Join(t.TempDir(), "slow.pdf")
	slowBook(t, book)
	const interrupted = "foldwright: interrupted, nothing was left behind\n"
	all := []struct {
		name   string
		end    func(*os.Process) error
		status int
		says   string
	}{
		{"SIGTERM", func(p *os.Process) error { return p.Signal(syscall.SIGTERM) }, int(Interrupted), interrupted},
		{"SIGINT to all", func(p *os.Process) error { return syscall.Kill(-p.Pid, syscall.SIGINT) }, int(Interrupted), interrupted},
		{"SIGKILL", func(p *os.Process) error { return p.Kill() }, -1, ""},
	}
	for _, c := range sample.Of(t, all, 1, len(all)-1) {
		t.Run(c.name, func(t *testing.T) {
			var said strings.Builder
			cmd := exec.Command("program", "inspect", book, "--page-timeout", "1h")
			cmd.Stdout, cmd.Stderr = &said, &said
			cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			drawing := busy(t, cmd.Process.Pid)
			if err := c.end(cmd.Process); err != nil {
				t.Fatal(err)
			}
			_ = cmd.Wait() // its status is looked at
			for _, pid := range drawing {
				proctest.AwaitGone(t, pid)
			}
			if got := cmd.ProcessState.ExitCode(); got != c.status || said.String() != c.says {
				t.Errorf("status %d, want %d: %s", got, c.status, &said)
			}
		})
	}
}

// busy waits until a process that draws is at the page that takes minutes, and
// returns those that there are.
func busy(t *testing.T, pid int) []int {
	t.Helper()
	for end := time.Now().Add(5 * time.Minute); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		children := proctest.Children(t, pid)
		for _, child := range children {
			// The start and the other pages take a fraction of this.
			if proctest.ProcessorTime(child) > 600*time.Millisecond {
				return children
			}
		}
	}
	t.Fatal("nothing is drawn")
	return nil
}
