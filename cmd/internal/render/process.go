package render

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"syscall"
	"time"

	"foldwright/cmd/internal/isolate"
)

// processes starts processes that draw.
type processes struct {
	options  Options
	launches chan *launch
}

// launch is a command that is to be started, and how that went.
type launch struct {
	cmd *exec.Cmd
	err chan error
}

// inProcess is set in the processes that draw, which start no others. A test's program
// that does not call Serve would otherwise start itself without end.
const inProcess = "FOLDWRIGHT_DRAWS_PAGES"

func newProcesses(o Options) *processes {
	p := &processes{options: o, launches: make(chan *launch)}
	go p.launch()
	return p
}

// launch starts commands from one thread that lasts: on Linux the system ends a
// process when the thread that started it ends.
func (p *processes) launch() {
	runtime.LockOSThread()
	for l := range p.launches {
		l.err <- l.cmd.Start()
	}
}

func (p *processes) close() error {
	close(p.launches)
	return nil
}

// startError says that a process that draws could not be started, whatever it was to draw.
type startError struct{ why error }

func (e *startError) Error() string {
	return fmt.Sprintf("the process that draws pages can't be started: %v", e.why)
}

// Unwrap is what the system says, without the names of files that are not the person's.
func (e *startError) Unwrap() error {
	var number syscall.Errno
	if errors.As(e.why, &number) {
		return number
	}
	return nil
}

// start starts a process and waits until it can draw.
func (p *processes) start(ctx context.Context) (worker, error) {
	o := &outside{limit: p.options.PageTime, numbers: map[*Document]int{}, open: map[*Document]bool{}, ended: make(chan struct{})}
	if err := o.launch(p); err != nil {
		return nil, &startError{err}
	}
	stop := context.AfterFunc(ctx, o.kill)
	defer stop()
	var first reply
	err := o.send(p.options, nil)
	if err == nil {
		err = o.dec.Decode(&first)
	}
	if err == nil && !first.Ready {
		err = errors.New(first.Failure)
	}
	if err != nil {
		o.end()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, &startError{err}
	}
	return o, nil
}

// outside is an engine in a process of its own.
type outside struct {
	*wire
	cmd     *exec.Cmd
	files   []io.Closer
	limit   time.Duration // for a page
	numbers map[*Document]int
	last    int                // number given to a document
	open    map[*Document]bool // those that its engine has open
	ended   chan struct{}      // closed when the process has ended
	broken  bool               // it can't be used any more
}

func (o *outside) launch(p *processes) error {
	if os.Getenv(inProcess) != "" {
		return errors.New("it would start itself")
	}
	program, err := os.Executable()
	if err != nil {
		return err
	}
	o.cmd = exec.Command(program, ProcessArgument)
	o.cmd.Args[0] = os.Args[0]
	o.cmd.Env = append(os.Environ(), inProcess+"=yes")
	isolate.Process(o.cmd)
	// Pipes of our own, for what exec makes is closed as soon as the process has
	// ended, read or not.
	hears, in, err := os.Pipe()
	if err != nil {
		return err
	}
	defer hears.Close()
	out, says, err := os.Pipe()
	if err != nil {
		in.Close()
		return err
	}
	defer says.Close()
	o.cmd.Stdin, o.cmd.Stdout = hears, says
	l := &launch{o.cmd, make(chan error, 1)}
	p.launches <- l
	if err := <-l.err; err != nil {
		in.Close()
		out.Close()
		return err
	}
	o.wire, o.files = newWire(out, in), []io.Closer{in, out}
	go func() {
		_ = o.cmd.Wait() // that it has ended is all that counts
		close(o.ended)
	}()
	return nil
}

func (o *outside) has(d *Document) bool { return o.open[d] }

func (o *outside) givenUp() bool {
	select {
	case <-o.ended:
		o.end()
	default:
	}
	return o.broken
}

// kill ends the process, whatever it does.
func (o *outside) kill() { _ = o.cmd.Process.Kill() } // it may have ended by itself

func (o *outside) end() {
	if o.broken {
		return
	}
	o.broken = true
	o.kill()
	<-o.ended
	for _, f := range o.files {
		f.Close()
	}
	o.open, o.numbers = nil, nil
}

func (o *outside) closeUnused() {
	for d, number := range o.numbers {
		if o.broken || !d.closed.Load() {
			continue
		}
		delete(o.numbers, d)
		delete(o.open, d)
		if err := o.send(order{Close: number}, nil); err != nil {
			o.end()
			return
		}
	}
}

func (o *outside) answer(ctx context.Context, d *Document, want wish) (any, error) {
	if !o.open[d] {
		_, err := o.within(ctx, filePages*o.limit, d, wish{memory: want.memory})
		if err != nil {
			return nil, err
		}
	}
	limit := o.limit
	if want.request.Page == 0 {
		limit *= filePages
	}
	return o.within(ctx, limit, d, want)
}

// filePages is how many pages' time a whole file may take to be opened, or saved.
const filePages = 10

// within asks the process, which is ended when the time is up or the context over.
func (o *outside) within(ctx context.Context, limit time.Duration, d *Document, want wish) (any, error) {
	limited, cancel := context.WithTimeoutCause(ctx, limit, &TimeError{want.request.Want.done(), limit})
	defer cancel()
	stop := context.AfterFunc(limited, o.kill)
	last, bytes, err := o.talk(d, want)
	switch {
	case !stop():
		o.end()
		return nil, context.Cause(limited) // even if it came to its end in that moment
	case err != nil:
		o.end()
		return nil, err
	}
	if last.Anew {
		clear(o.open)
	}
	if last.Failure != "" {
		return nil, failed(last.Failure)
	}
	o.open[d] = !last.Anew
	return withPixels(last.Answer, bytes), nil
}

// talk asks for what is wanted, hands the process what it wants to read, and
// returns its last word.
func (o *outside) talk(d *Document, want wish) (last reply, bytes []byte, err error) {
	number, known := o.numbers[d]
	if !known {
		o.last++
		number = o.last
		o.numbers[d] = number
		err = o.send(order{Open: &opening{number, d.size, d.password}}, nil)
	}
	if err == nil {
		err = o.send(order{Ask: &asking{number, want.request, want.memory}}, nil)
	}
	for err == nil {
		var r reply
		if err = o.dec.Decode(&r); err != nil {
			break
		}
		bytes = make([]byte, r.Bytes)
		if _, err = io.ReadFull(o.in, bytes); err != nil {
			break
		}
		switch {
		case r.Done:
			return r, bytes, nil
		case r.Read != nil:
			err = o.handOut(d, *r.Read)
		case want.copy != nil:
			if _, err := want.copy.Write(bytes); err != nil {
				return last, nil, errNotWritten
			}
		}
	}
	return last, nil, ErrCrash
}

// handOut sends bytes of a document.
func (o *outside) handOut(d *Document, r reading) error {
	bytes := make([]byte, r.Length)
	if n, _ := d.source.ReadAt(bytes, r.At); n < len(bytes) {
		return o.send(order{Refused: true}, nil) // and the engine calls the file unreadable
	}
	return o.send(order{Bytes: len(bytes)}, bytes)
}
