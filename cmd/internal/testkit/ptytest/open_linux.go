package ptytest

import (
	"fmt"
	"os"
	"testing"

	"golang.org/x/sys/unix"
)

// Open opens a pseudo-terminal of 24 lines of the given width: what is written
// to the program's end can be read at the person's, and the other way round.
func Open(t *testing.T, columns int) (person, program *os.File) {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { person.Close() })
	number, err := unix.IoctlGetInt(int(person.Fd()), unix.TIOCGPTN)
	if err == nil {
		err = unix.IoctlSetPointerInt(int(person.Fd()), unix.TIOCSPTLCK, 0)
	}
	if err == nil {
		err = unix.IoctlSetWinsize(int(person.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: uint16(columns)})
	}
	if err != nil {
		t.Fatal(err)
	}
	program, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { program.Close() })
	return person, program
}
