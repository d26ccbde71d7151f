package batch

import (
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"runtime"
	"sync"

	"foldwright/cmd/internal/isolate"
)

// standby starts the processes of titles, one ahead of need: while titles are
// in work the next process starts and waits for its order.
type standby struct {
	program []string
	asks    chan struct{} // a process each
	ready   chan arrival
	over    chan struct{}
	mu      sync.Mutex
	ahead   int // processes asked for and not taken
}

// arrival is a process that waits for its order, or why there is none.
type arrival struct {
	p   *process
	err error
}

// mostAhead is more processes than are ever asked for before they are taken.
const mostAhead = 1024

func newStandby(program []string) *standby {
	s := &standby{program: program, asks: make(chan struct{}, mostAhead), ready: make(chan arrival, mostAhead), over: make(chan struct{})}
	go s.serve()
	return s
}

// take is a process that waits for its order. If more will be wanted, the next one is started.
func (s *standby) take(more bool) (*process, error) {
	need := 1
	if more {
		need = 2
	}
	s.mu.Lock()
	for ; s.ahead < need; s.ahead++ {
		s.asks <- struct{}{}
	}
	s.ahead--
	s.mu.Unlock()
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
	// On Linux the system ends a process when the thread that started it ends,
	// and a process has the scheduling of that thread, which is for nothing else.
	runtime.LockOSThread()
	unhurried()
	for range s.asks {
		p, err := start(s.program)
		s.ready <- arrival{p, err}
	}
	close(s.ready)
	for got := range s.ready {
		if got.err == nil {
			got.p.dismiss()
		}
	}
}

// process is the process of one title.
type process struct {
	cmd   *exec.Cmd
	in    io.WriteCloser
	out   *os.File // what it says: messages and, should it go wrong, anything
	said  words
	allow allowance
	mu    sync.Mutex
	cause *Failure // why it was ended by us
}

func start(program []string) (*process, error) {
	p := &process{cmd: exec.Command(program[0], program[1:]...)}
	p.cmd.Args[0] = os.Args[0]
	p.cmd.Env = append(os.Environ(), "GOMAXPROCS=1") // until the order says otherwise
	isolate.Process(p.cmd)
	out, says, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	defer says.Close()
	p.out, p.cmd.Stdout, p.cmd.Stderr = out, says, says
	p.in, err = p.cmd.StdinPipe()
	if err == nil {
		err = p.cmd.Start()
	}
	if err != nil {
		out.Close()
		return nil, err
	}
	return p, nil
}

// give gives the process its order. On an error the process has ended before
// it was wanted.
func (p *process) give(o Order, allow allowance) error {
	p.allow = allow
	return json.NewEncoder(p.in).Encode(o)
}

// wait waits for the end of a process that has said everything.
func (p *process) wait() error {
	defer p.out.Close()
	return p.cmd.Wait()
}

// dismiss ends a process that has got no order.
func (p *process) dismiss() {
	_ = p.in.Close()
	_ = p.wait() // how it ends is nobody's concern
}
