package batch

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"runtime"
	"sync"
)

// standby starts the processes of titles, one ahead of need: while titles are
// in work the next process starts and waits for its order.
type standby struct {
	program []string
	asks    chan bool // whether another process will be wanted after this one
	ready   chan arrival
	over    chan struct{}
}

type arrival struct {
	p   *process
	err error
}

func newStandby(program []string) *standby {
	s := &standby{program, make(chan bool), make(chan arrival), make(chan struct{})}
	go s.serve()
	return s
}

// take is a process that waits for its order. If more will be wanted, the next one is started.
func (s *standby) take(more bool) (*process, error) {
	s.asks <- more
	got := <-s.ready
	return got.p, got.err
}

// end sends away a process that nobody has taken, and waits for its end.
func (s *standby) end() {
	close(s.asks)
	<-s.over
}

func (s *standby) serve() {
	defer close(s.over)
	// On Linux the system ends a process when the thread that started it ends.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	var spare *process
	for more := range s.asks {
		var err error
		if spare == nil {
			spare, err = start(s.program)
		}
		s.ready <- arrival{spare, err}
		spare = nil
		if more {
			spare, _ = start(s.program) // if it cannot be started, that is told to who takes it
		}
	}
	if spare != nil {
		spare.dismiss()
	}
}

// process is the process of one title.
type process struct {
	cmd   *exec.Cmd
	in    io.WriteCloser
	out   io.Reader
	said  words
	allow allowance
	mu    sync.Mutex
	cause *Failure // why it was ended by us
}

func start(program []string) (*process, error) {
	p := &process{cmd: exec.Command(program[0], program[1:]...)}
	p.cmd.Args[0] = os.Args[0]
	p.cmd.Stderr = &p.said
	p.cmd.Env = append(os.Environ(), "GOMAXPROCS=1") // until the order says otherwise
	isolate(p.cmd)
	var errIn, errOut error
	p.in, errIn = p.cmd.StdinPipe()
	p.out, errOut = p.cmd.StdoutPipe()
	if err := errors.Join(errIn, errOut); err != nil {
		return nil, err
	}
	return p, p.cmd.Start()
}

// give gives the process its order. On an error the process has ended before
// it was wanted.
func (p *process) give(o Order, allow allowance) error {
	p.allow = allow
	return json.NewEncoder(p.in).Encode(o)
}

// dismiss ends a process that has got no order.
func (p *process) dismiss() {
	_ = p.in.Close()
	_ = p.cmd.Wait() // how it ends is nobody's concern
}
