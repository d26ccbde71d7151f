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

// inProcess is set in the processes that draw, which start no others. A test's program
// that does not call Serve would otherwise start itself without end.
const inProcess = "FOLDWRIGHT_DRAWS_PAGES"

// launch starts commands from one thread that lasts: on Linux the system ends a
// process when the thread that started it ends.
func (r *Renderer) launch() {
	runtime.LockOSThread()
	for start := range r.launches {
		start()
	}
}

// startError says that a process that draws could not be started, whatever it was to draw.
type startError struct{ why error }

func (e *startError) Error() string {
	return fmt.Sprintf("the process that draws pages can't be started: %v", e.why)
}

// Unwrap is what the system says, without the names of files that are not the person's.
func (e *startError) Unwrap() error {
	if number, ok := errors.AsType[syscall.Errno](e.why); ok {
		return number
	}
	return nil
}

// start starts a process and waits until it can draw. It calls grown, if there is one, when a translation takes much memory.
func (r *Renderer) start(ctx context.Context, o Options, grown func()) (*worker, error) {
	w := &worker{limit: r.options.PageTime, numbers: map[*Document]int{}, open: map[*Document]bool{}, ended: make(chan struct{})}
	if err := w.launch(r.launches); err != nil {
		return nil, &startError{err}
	}
	stop := context.AfterFunc(ctx, w.kill)
	defer stop()
	var first reply
	err := w.send(o, nil)
	if err == nil {
		err = w.dec.Decode(&first)
	}
	if err == nil && first.Grown {
		if grown != nil {
			grown()
		}
		first = reply{}
		err = w.dec.Decode(&first)
	}
	if err == nil && !first.Ready {
		err = errors.New(first.Failure)
	}
	if err != nil {
		w.end()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, &startError{err}
	}
	return w, nil
}

// worker is a process that draws, one page at a time.
type worker struct {
	*wire
	cmd     *exec.Cmd
	files   []io.Closer
	limit   time.Duration // for a page
	numbers map[*Document]int
	last    int                // number given to a document
	open    map[*Document]bool // those that its engine has open
	ended   chan struct{}      // closed when the process has ended
	broken  bool               // it can't be used any more
	early   bool               // its engine is interpreted, and it may be ended at any time
}

func (w *worker) launch(launches chan<- func()) error {
	if os.Getenv(inProcess) != "" {
		return errors.New("it would start itself")
	}
	program, err := os.Executable()
	if err != nil {
		return err
	}
	w.cmd = exec.Command(program, ProcessArgument)
	w.cmd.Args[0] = os.Args[0]
	w.cmd.Env = append(os.Environ(), inProcess+"=yes")
	isolate.Process(w.cmd)
	// A pipe of our own, for one that exec makes is closed as soon as the process has
	// ended, read or not.
	out, says, err := os.Pipe()
	if err != nil {
		return err
	}
	defer says.Close()
	w.cmd.Stdout = says
	in, err := w.cmd.StdinPipe()
	if err == nil {
		started := make(chan error, 1)
		launches <- func() { started <- w.cmd.Start() }
		err = <-started
	}
	if err != nil {
		out.Close()
		return err
	}
	w.wire, w.files = newWire(out, in), []io.Closer{in, out}
	go func() {
		_ = w.cmd.Wait() // that it has ended is all that counts
		close(w.ended)
	}()
	return nil
}

// hasEnded tells whether the process has ended, by itself or because of what it was asked.
func (w *worker) hasEnded() bool {
	select {
	case <-w.ended:
		w.end()
	default:
	}
	return w.broken
}

// kill ends the process, whatever it does.
func (w *worker) kill() { _ = w.cmd.Process.Kill() } // it may have ended by itself

func (w *worker) end() {
	if w.broken {
		return
	}
	w.broken = true
	w.kill()
	<-w.ended
	for _, f := range w.files {
		f.Close()
	}
	w.open, w.numbers = nil, nil
}

// closeUnused closes the documents that nobody needs any more.
func (w *worker) closeUnused() {
	for d, number := range w.numbers {
		if w.broken || !d.closed.Load() {
			continue
		}
		delete(w.numbers, d)
		delete(w.open, d)
		if err := w.send(order{Close: number}, nil); err != nil {
			w.end()
			return
		}
	}
}

// answer does what is wanted of the document, and opens it first unless it is open.
func (w *worker) answer(ctx context.Context, d *Document, want wish) (any, error) {
	if !w.open[d] {
		_, err := w.askWithin(ctx, filePages*w.limit, d, wish{memory: want.memory})
		if err != nil {
			return nil, err
		}
	}
	limit := w.limit
	if want.request.Page == 0 {
		limit *= filePages
	}
	return w.askWithin(ctx, limit, d, want)
}

// filePages is how many pages' time a whole file may take to be opened, or saved.
const filePages = 10

// askWithin asks the process, which is ended when the time is up or the context over.
func (w *worker) askWithin(ctx context.Context, limit time.Duration, d *Document, want wish) (any, error) {
	limited, cancel := context.WithTimeoutCause(ctx, limit, &TimeError{want.request.Want.done(), limit})
	defer cancel()
	stop := context.AfterFunc(limited, w.kill)
	last, bytes, err := w.talk(d, want)
	switch {
	case !stop():
		w.end()
		return nil, context.Cause(limited) // even if it came to its end in that moment
	case err != nil:
		w.end()
		return nil, err
	}
	if last.Anew {
		clear(w.open)
	}
	if last.Failure != "" {
		return nil, errorOf(last.Failure)
	}
	w.open[d] = !last.Anew
	return joinPixels(last.Answer, bytes), nil
}

// talk asks for what is wanted, hands the process what it wants to read, and
// returns its last word.
func (w *worker) talk(d *Document, want wish) (last reply, bytes []byte, err error) {
	if w.numbers[d] == 0 {
		w.last++
		w.numbers[d] = w.last
	}
	err = w.send(order{Ask: &asking{w.numbers[d], d.size, d.password, want.request, want.memory}}, nil)
	for err == nil {
		var r reply
		if err = w.dec.Decode(&r); err != nil {
			break
		}
		bytes = make([]byte, r.Bytes)
		if _, err = io.ReadFull(w.in, bytes); err != nil {
			break
		}
		switch {
		case r.Done:
			return r, bytes, nil
		case r.Read != nil:
			err = w.handOut(d, *r.Read)
		case want.copy != nil:
			if _, err := want.copy.Write(bytes); err != nil {
				return last, nil, errNotWritten
			}
		}
	}
	return last, nil, ErrCrash
}

// handOut sends bytes of a document.
func (w *worker) handOut(d *Document, r reading) error {
	bytes := make([]byte, r.Length)
	if n, _ := d.source.ReadAt(bytes, r.At); n < len(bytes) {
		return w.send(order{Refused: true}, nil) // and the engine calls the file unreadable
	}
	return w.send(order{Bytes: len(bytes)}, bytes)
}
