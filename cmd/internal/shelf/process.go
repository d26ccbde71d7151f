package shelf

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"time"
)

// watchEvery is how often the memory of a process is looked at. At a gigabyte
// per second it can pass its limit by 20 MB before it is ended.
const watchEvery = 20 * time.Millisecond

// allowance is what one title may take.
type allowance struct {
	memory Size
	cores  int
	time   time.Duration // 0: any
}

// work gives a title to a process and waits for its end. What the process
// says on the way goes to tell; the last message comes back.
func (w *working) work(j *effort, tell func(message)) (message, *Failure) {
	o := Order{
		Source: j.Source, Place: j.Place, Password: j.Password, Proof: j.Proof, Profiles: w.o.Setting.Profiles.Dir, Region: w.o.Setting.Region, Settings: j.Settings, PageTime: w.o.PageTime,
		Memory: j.allow.memory, Cores: j.allow.cores, Watch: !canWatch,
	}
	p, err := w.standby.take(j.more)
	if err == nil && p.give(o, j.allow) != nil {
		// Somebody ended it while it waited, which is not the title's fault.
		p.dismiss()
		if p, err = w.standby.take(j.more); err == nil {
			_ = p.give(o, j.allow) // a process that ends again says so by its end
		}
	}
	if err != nil {
		return message{}, w.unstarted(err)
	}
	ended := make(chan struct{})
	watched := make(chan struct{})
	go func() {
		defer close(watched)
		p.watch(w.ctx, ended)
	}()
	last := message{}
	lines := bufio.NewReader(p.out)
	for more := error(nil); more == nil; {
		var line []byte
		line, more = lines.ReadBytes('\n')
		var m message
		switch {
		case !bytes.HasPrefix(line, []byte("{")) || json.Unmarshal(line, &m) != nil:
			p.said.add(line)
		case m.Failure != nil:
			last = m
		default:
			last.Done = last.Done || m.Done
			last.Kept = append(last.Kept, m.Kept...)
			tell(m)
		}
	}
	err = p.wait()
	close(ended)
	<-watched
	return last, p.outcome(w.ctx, last, err)
}

func (w *working) unstarted(err error) *Failure {
	f := w.o.Describe(err)
	if f.Status != statusUnexpected {
		f.Hint = "" // it speaks of files of the title
	}
	f.Status, f.Sentence, f.Passing = statusUnexpected, "its process could not be started: "+f.Sentence, true
	return &f
}

// watch ends the process when it takes more than it may, and asks it to end
// when the context does.
func (p *process) watch(ctx context.Context, ended <-chan struct{}) {
	tick := time.NewTicker(watchEvery)
	defer tick.Stop()
	var late <-chan time.Time
	if p.allow.time > 0 {
		late = time.After(p.allow.time)
	}
	interrupted := ctx.Done()
	for {
		select {
		case <-ended:
			_ = p.in.Close() // nobody reads it any more
			return
		case <-interrupted:
			_ = p.in.Close() // the process sees the end of its input and cleans up
			interrupted, late = nil, time.After(2*grace)
		case <-late:
			p.end(timeFailure(p.allow.time))
		case <-tick.C:
			if canWatch && memoryOf(p.cmd.Process.Pid) > p.allow.memory {
				p.end(memoryFailure(p.allow.memory))
			}
		}
	}
}

func (p *process) end(cause Failure) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.cause == nil {
		p.cause = &cause
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
		f := crashFailure(said)
		return &f
	case err == nil:
		err = errors.New("it ended without a word")
	}
	f := killFailure(err.Error())
	return &f
}

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

// words is the beginning of what is said: the cause comes first.
type words []byte

const mostWords = 16 << 10

func (t *words) add(line []byte) { *t = append(*t, line[:min(len(line), mostWords-len(*t))]...) }
