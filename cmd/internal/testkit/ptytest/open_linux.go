package ptytest

import (
	"fmt"
	"os"
	"syscall"
	"testing"
	"unsafe"
)

// Open opens a pseudo-terminal of 24 lines of the given width: what is written
// to the program's end can be read at the person's, and the other way round.
func Open(t *testing.T, columns int) (person, program *os.File) {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { person.Close() })
	control := func(request uintptr, arg unsafe.Pointer) {
		t.Helper()
		if _, _, e := syscall.Syscall(syscall.SYS_IOCTL, person.Fd(), request, uintptr(arg)); e != 0 {
			t.Fatal(e)
		}
	}
	var number, locked int32
	control(syscall.TIOCGPTN, unsafe.Pointer(&number))
	control(syscall.TIOCSPTLCK, unsafe.Pointer(&locked))
	size := [4]uint16{24, uint16(columns)}
	control(syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	program, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { program.Close() })
	return person, program
}
