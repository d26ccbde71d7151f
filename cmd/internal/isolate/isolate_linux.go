package isolate

import (
	"os/exec"
	"syscall"
)

// Process keeps an interrupt at the terminal from the process, which is told
// by its parent, and lets the system end it when the thread that starts it ends.
func Process(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true, Pdeathsig: syscall.SIGKILL}
}
