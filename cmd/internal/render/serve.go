package render

import (
	"errors"
	"io"
	"os"
	"runtime"
	"runtime/debug"
)

// ProcessArgument is the argument with which the program starts itself to draw.
// It then calls [Serve] and nothing else.
const ProcessArgument = "draw-pages"

// Serve is what a process that draws does, until its input ends: it answers requests
// with an engine of its own. It reads no file, but asks its parent for what it wants of one.
func Serve(in io.Reader, out io.Writer) error {
	// One core draws, the other hears of the end of the input meanwhile: nothing else can
	// run on a core that is in the engine.
	runtime.GOMAXPROCS(2)
	debug.SetGCPercent(100) // whatever the program does elsewhere: there is one such process for each core
	s := &server{wire: newWire(in, out), orders: make(chan given), documents: map[int]*Document{}}
	var o Options
	switch err := s.dec.Decode(&o); {
	case errors.Is(err, io.EOF):
		return nil
	case err != nil:
		return err
	}
	if o.Interpreted {
		// It holds the engine as values of Go, 150 MB of them: collected once, when they are all there, not again and again.
		debug.SetGCPercent(-1)
		debug.SetMemoryLimit(170 << 20)
	}
	started, watched := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(watched)
		if o.Waited && !o.Interpreted {
			watchMemory(started, func() { _ = s.send(reply{Grown: true}, nil) }) // who does not hear it does not hear the next either
		}
	}()
	engines, err := startEngines(o)
	close(started)
	<-watched
	if err != nil {
		return errors.Join(err, s.send(reply{Failure: err.Error()}, nil))
	}
	s.engines = engines
	debug.FreeOSMemory() // starting takes more than drawing
	if err := s.send(reply{Ready: true}, nil); err != nil {
		return err
	}
	go s.listen()
	for g := range s.orders {
		if err := s.obey(g.order); err != nil {
			return err
		}
	}
	return nil
}

// server is a process that draws.
type server struct {
	*wire
	orders    chan given
	engines   *engines
	drawer    *drawer // nil: to be made
	documents map[int]*Document
}

// given is an order with the bytes that came with it.
type given struct {
	order order
	bytes []byte
}

// listen ends the process with its input, even while a page is drawn: then nobody
// wants it any more.
func (s *server) listen() {
	for {
		var g given
		err := s.dec.Decode(&g.order)
		if err == nil && g.order.Bytes > 0 {
			g.bytes = make([]byte, g.order.Bytes)
			_, err = io.ReadFull(s.in, g.bytes)
		}
		if err != nil {
			os.Exit(0)
		}
		s.orders <- g
	}
}

func (s *server) obey(o order) error {
	switch {
	case o.Close > 0:
		if s.drawer != nil {
			s.drawer.close(s.documents[o.Close])
		}
		delete(s.documents, o.Close)
	case o.Ask != nil:
		got, err := s.answer(o.Ask)
		r := reply{Done: true, Anew: s.drawer == nil || s.drawer.engine == nil}
		if err != nil {
			r.Failure = textOf(err)
		}
		var pixels []byte
		r.Answer, pixels = splitPixels(got)
		r.Bytes = len(pixels)
		return s.send(r, pixels)
	}
	return nil
}

func (s *server) answer(a *asking) (any, error) {
	if s.drawer == nil || s.drawer.engine == nil {
		made, err := s.engines.make()
		if err != nil {
			return nil, err
		}
		s.drawer = made
	}
	d := s.documents[a.Document]
	if d == nil {
		d = &Document{source: &distant{server: s, document: a.Document, size: a.Size}, size: a.Size, password: a.Password}
		s.documents[a.Document] = d
	}
	return s.drawer.answer(d, wish{a.Request, a.Memory, s})
}

// Write sends a part of a copy.
func (s *server) Write(p []byte) (int, error) { return len(p), s.send(reply{Bytes: len(p)}, p) }

// distant is a document that the parent reads. What is read near each other is asked for at once.
type distant struct {
	server   *server
	document int
	size     int64
	blocks   map[int64][]byte
}

const (
	blockSize  = 64 << 10
	mostBlocks = 32
)

func (f *distant) ReadAt(p []byte, at int64) (n int, err error) {
	for n < len(p) {
		if at+int64(n) >= f.size {
			return n, io.EOF
		}
		block, err := f.block((at + int64(n)) / blockSize)
		if err != nil {
			return n, err
		}
		n += copy(p[n:], block[(at+int64(n))%blockSize:])
	}
	return n, nil
}

func (f *distant) block(at int64) ([]byte, error) {
	if b := f.blocks[at]; b != nil {
		return b, nil
	}
	start := at * blockSize
	err := f.server.send(reply{Read: &reading{f.document, start, int(min(blockSize, f.size-start))}}, nil)
	if err != nil {
		return nil, err
	}
	g := <-f.server.orders // nothing else comes while a request is under way
	if g.order.Refused {
		return nil, io.ErrUnexpectedEOF
	}
	if f.blocks == nil || len(f.blocks) == mostBlocks {
		f.blocks = map[int64][]byte{}
	}
	f.blocks[at] = g.bytes
	return g.bytes, nil
}
