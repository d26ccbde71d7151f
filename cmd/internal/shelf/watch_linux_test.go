package shelf

import (
	"os/exec"
	"strconv"
	"syscall"
	"testing"
	"time"
)

// What a title's process has started counts as its memory.
func TestMemoryOfAProcessIsThatOfItsChildrenToo(t *testing.T) {
	cmd := exec.Command("sh", "-c", "sleep 600 & wait")
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() {
		_ = syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) // and what it has started
		_ = cmd.Wait()                                      // it was killed
	}()
	of := "/proc/" + strconv.Itoa(cmd.Process.Pid)
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		before := resident(of)
		all := memoryOf(cmd.Process.Pid)
		if before > 0 && before == resident(of) && all > before {
			return
		}
	}
	t.Error("only the process itself is counted")
}
