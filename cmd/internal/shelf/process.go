package shelf

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"time"

	"foldwright/cmd/internal/isolate"
	"foldwright/reorder/phrase"
)

// process makes titles, one after the other, as long as each is made.
type process struct {
	cmd   *exec.Cmd
	in    io.WriteCloser
	out   *os.File // what it says: messages and, should it go wrong, anything
	lines *bufio.Reader
	said  []byte // the beginning of what is no message: the cause comes first
	order Order
	limit time.Duration // that a title may take; 0: any
	cause *Failure      // why it was ended by us
}

// makeInProcess gives a title to a process, to idle if that can take it, and waits for its end. What the
// process says on the way goes to tell; the last message comes back, and the process, if it made the title.
func (r *run) makeInProcess(idle *process, t *task, tell func(message)) (*process, message, *Failure) {
	order := Order{
		Title: t.Title, Profiles: r.o.Setting.Profiles.Dir, Region: r.o.Setting.Region, PageTime: r.o.PageTime, Memory: t.memory,
	}
	p := idle
	if !p.takes(order) {
		p.dismiss()
		p = &process{limit: r.o.Timeout}
		if err := p.start(r.o.Program); err != nil {
			return nil, message{}, r.startFailure(err)
		}
		_ = p.give(order) // a process that has ended already says so by its end
	}
	ended := make(chan struct{})
	watched := make(chan struct{})
	go func() {
		defer close(watched)
		p.watch(r.ctx, ended)
	}()
	last := p.listen(tell)
	var err error
	if !last.Done {
		err = p.cmd.Wait()
	}
	close(ended)
	<-watched
	if last.Done && p.cause == nil {
		return p, last, nil
	}
	p.dismiss()
	return nil, last, p.outcome(r.ctx, last, err)
}

// start starts the process. On Linux the system ends it when the thread ends that calls this.
func (p *process) start(program []string) error {
	p.cmd = exec.Command(program[0], program[1:]...)
	p.cmd.Args[0] = os.Args[0]
	isolate.Process(p.cmd)
	out, says, err := os.Pipe()
	if err != nil {
		return err
	}
	defer says.Close()
	p.out, p.lines, p.cmd.Stdout, p.cmd.Stderr = out, bufio.NewReader(out), says, says
	p.in, err = p.cmd.StdinPipe()
	if err == nil {
		err = p.cmd.Start()
	}
	if err != nil {
		out.Close()
	}
	return err
}

// takes gives an order to a process that has made a title, if there is one, if it has not ended meanwhile, and if
// what it still holds is less than half of the title's share of the memory.
func (p *process) takes(o Order) bool {
	return p != nil && memoryOf(p.cmd.Process.Pid) < o.Memory/2 && p.give(o) == nil
}

func (p *process) give(o Order) error {
	p.order, p.said = o, nil
	return json.NewEncoder(p.in).Encode(o)
}

// dismiss ends a process that has nothing to do, unless it has ended already.
func (p *process) dismiss() {
	if p != nil {
		_ = p.in.Close()
		_ = p.cmd.Wait() // what it was to do is done, or its end was waited for
		_ = p.out.Close()
	}
}

// startFailure is the failure of a title whose process could not be started.
func (r *run) startFailure(err error) *Failure {
	f := r.o.Describe(err)
	if f.Status != statusUnexpected {
		f.Hint = phrase.Sentence{} // it speaks of files of the title
	}
	f.Status, f.Sentence, f.Passing = statusUnexpected, "its process could not be started: "+f.Sentence, true
	return &f
}

// listen reads what the process says, until a title is made or nothing more comes, and returns the last message.
func (p *process) listen(tell func(message)) (last message) {
	for more := error(nil); more == nil && !last.Done; {
		var line []byte
		line, more = p.lines.ReadBytes('\n')
		var m message
		switch {
		case !bytes.HasPrefix(line, []byte("{")) || json.Unmarshal(line, &m) != nil:
			p.said = append(p.said, line[:min(len(line), mostWords-len(p.said))]...)
		case m.Failure != nil:
			last = m
		case m.Done:
			last = m
			tell(m)
		default:
			tell(m)
		}
	}
	return last
}

// watch ends the process when it takes more than it may, and asks it to end
// when the context does.
func (p *process) watch(ctx context.Context, ended <-chan struct{}) {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	var late <-chan time.Time
	if p.limit > 0 {
		late = time.After(p.limit)
	}
	interrupted := ctx.Done()
	for {
		select {
		case <-ended:
			return
		case <-interrupted:
			_ = p.in.Close() // the process sees the end of its input and cleans up
			interrupted, late = nil, time.After(2*grace)
		case <-late:
			p.end(timeFailure(p.limit))
		case <-tick.C:
			if canWatch && memoryOf(p.cmd.Process.Pid) > p.order.Memory {
				p.end(memoryFailure(p.order.Memory))
			}
		}
	}
}

func (p *process) end(cause *Failure) {
	if p.cause == nil {
		p.cause = cause
		_ = p.cmd.Process.Kill() // it may just have ended by itself
	}
}

// outcome is what became of the title; nil: it is made.
func (p *process) outcome(ctx context.Context, last message, err error) *Failure {
	said := string(p.said)
	switch {
	case last.Done:
		return nil
	case ctx.Err() != nil:
		return &Failure{Status: statusInterrupted, Sentence: "interrupted", Passing: true}
	case p.cause != nil:
		return p.cause
	case last.Failure != nil:
		last.Failure.busy = last.Busy
		return last.Failure
	case firstCause(said) != "":
		return crashFailure(said)
	case err == nil:
		err = errors.New("it ended without a word")
	}
	return killFailure(err.Error())
}

// mostWords is how much is kept of what a process says besides its messages.
const mostWords = 16 << 10

// causes are how the Go runtime and this program begin to say why a process ends.
var causes = []string{"panic: ", "fatal error: ", "runtime: "}

// firstCause is the line in which a process says why it ended, empty if it doesn't.
func firstCause(said string) string {
	for line := range strings.Lines(said) {
		if slices.ContainsFunc(causes, func(c string) bool { return strings.HasPrefix(line, c) }) {
			return strings.TrimSpace(line)
		}
	}
	return ""
}
