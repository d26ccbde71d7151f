package shelf

import (
	"io"
	"os/exec"
	"syscall"
)

// canWatch is false: a process looks at its own memory instead.
const canWatch = false

func memoryOf(int) Size { return 0 }

// isolate keeps an interrupt at the terminal from the process, which is told
// by its parent. The end of its standard input tells it that the parent has ended.
func isolate(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{CreationFlags: syscall.CREATE_NEW_PROCESS_GROUP}
}

// makeWaitable gives the input as it is: its end is how the process learns that its
// parent has ended, and that is noticed for certain by a read that waits.
func makeWaitable(in io.Reader) io.Reader { return in }

// lowerPriority does nothing here.
func lowerPriority() {}
