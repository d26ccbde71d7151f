package cli

import (
	"unsafe"

	"golang.org/x/sys/windows"
)

// isClicked tells whether the program was opened by a double click: then it has a console
// window that belongs to no other process.
func isClicked() bool {
	var processes [2]uint32
	n, _, _ := windows.NewLazySystemDLL("kernel32.dll").NewProc("GetConsoleProcessList").Call(uintptr(unsafe.Pointer(&processes[0])), uintptr(len(processes)))
	return n == 1
}
