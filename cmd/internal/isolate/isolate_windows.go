package isolate

import (
	"os/exec"
	"syscall"
)

// Process keeps an interrupt at the terminal from the process, which is told
// by its parent. The end of its standard input tells it that the parent has ended.
func Process(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{CreationFlags: syscall.CREATE_NEW_PROCESS_GROUP}
}
