package progress

import (
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
	"unsafe"
)

// terminal opens a pseudo-terminal of the given width: what is written to the
// program's end can be read at the person's.
func terminal(t *testing.T, columns uint16) (person, program *os.File) {
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
	size := [4]uint16{24, columns}
	control(syscall.TIOCSWINSZ, unsafe.Pointer(&size))
	program, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { program.Close() })
	return person, program
}

func TestBarOnATerminal(t *testing.T) {
	const columns = 52
	person, program := terminal(t, columns)
	s := new(screen)
	read := make(chan struct{})
	go func() {
		defer close(read)
		buffer := make([]byte, 4096)
		for {
			n, err := person.Read(buffer)
			s.Write(buffer[:n])
			if err != nil || strings.Contains(string(buffer[:n]), "~") {
				return
			}
		}
	}()
	b := Bar(program)
	began := time.Now()
	b.Start("writing larkhaven-print", 9)
	b.Step(3)
	s.shows(t, "writing larkhave...  33%")
	if waited := time.Since(began); waited < 250*time.Millisecond {
		t.Errorf("the bar appeared after %v", waited)
	}
	b.Done()
	// What comes next stands alone on the line.
	if _, err := program.WriteString("done~"); err != nil {
		t.Fatal(err)
	}
	<-read
	if s.widest >= columns {
		t.Errorf("%d columns were written on a terminal of %d", s.widest, columns)
	}
	if text, _ := s.now(); text != "done~" {
		t.Errorf("the line is %q", text)
	}
}
