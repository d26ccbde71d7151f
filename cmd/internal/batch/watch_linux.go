package batch

import (
	"io"
	"os"
	"strconv"
	"strings"
	"syscall"
	"unsafe"
)

// canWatch tells whether the memory of another process can be seen.
const canWatch = true

// unhurried puts this thread, and the processes that it will start, among those
// that take the processor from nobody the moment they could go on (sched(7),
// SCHED_BATCH). The threads of one title then disturb each other less, too.
func unhurried() {
	const schedBatch = 3 // <linux/sched.h>
	priority := int32(0) // the only one there is
	// Without it the work goes on all the same.
	_, _, _ = syscall.RawSyscall(syscall.SYS_SCHED_SETSCHEDULER, 0, schedBatch, uintptr(unsafe.Pointer(&priority)))
}

// waitable is the same input, read by the runtime's poller. A read that the
// system waits in would hold the process's only core until the runtime notices.
func waitable(in io.Reader) io.Reader {
	f, ok := in.(*os.File)
	if !ok || syscall.SetNonblock(int(f.Fd()), true) != nil {
		return in
	}
	return os.NewFile(f.Fd(), f.Name())
}

// memoryOf is the memory in use by a process and by those that it has started,
// 0 when it has ended.
func memoryOf(pid int) Size {
	of := "/proc/" + strconv.Itoa(pid)
	memory := resident(of)
	threads, err := os.ReadDir(of + "/task")
	if err != nil {
		return memory
	}
	for _, thread := range threads {
		children, err := os.ReadFile(of + "/task/" + thread.Name() + "/children")
		if err != nil {
			continue // a thread that has ended
		}
		for field := range strings.FieldsSeq(string(children)) {
			if child, err := strconv.Atoi(field); err == nil {
				memory += memoryOf(child)
			}
		}
	}
	return memory
}

// resident is the memory of one process, by its folder in /proc.
func resident(of string) Size {
	// statm: size, resident, shared, ... in pages (proc_pid_statm(5)).
	text, err := os.ReadFile(of + "/statm")
	if err != nil {
		return 0
	}
	fields := strings.Fields(string(text))
	if len(fields) < 2 {
		return 0
	}
	pages, err := strconv.ParseInt(fields[1], 10, 64)
	if err != nil {
		return 0
	}
	return Size(pages) * Size(os.Getpagesize())
}
