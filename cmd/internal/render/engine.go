package render

import (
	"context"
	"fmt"
	"io"
	"runtime"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// engines makes the workers' engines of one translation. Engines are made one at a time.
type engines struct {
	pool   pdfium.Pool
	cache  wazero.CompilationCache // nil: none
	memory *allocator
}

func newEngines(o Options, cache wazero.CompilationCache) (*engines, error) {
	e := &engines{cache: cache, memory: &allocator{limit: uint64(o.WorkerMemory)}}
	ctx := experimental.WithMemoryAllocator(context.Background(), e.memory)
	ctx = experimental.WithCompilationWorkers(ctx, runtime.GOMAXPROCS(0))
	config := wazero.NewRuntimeConfig().
		// PDFium's error handling is compiled to WebAssembly exceptions.
		WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling).
		// Only then a call under way can be stopped. Each turn of each loop of the
		// engine looks whether it shall go on, which makes it about four times as slow.
		WithCloseOnContextDone(o.PageTime > 0)
	if cache != nil {
		config = config.WithCompilationCache(cache)
	}
	var err error
	e.pool, err = webassembly.Init(webassembly.Config{
		Context:       ctx,
		MaxTotal:      o.Workers,
		FSConfig:      wazero.NewFSConfig(),
		RuntimeConfig: config,
		Stdout:        io.Discard,
		Stderr:        io.Discard,
	})
	if err != nil {
		return nil, fmt.Errorf("the drawing engine can't be started: %w", err)
	}
	return e, nil
}

// make starts an engine for a worker.
func (e *engines) make() (worker, error) {
	engine, err := e.pool.GetInstance(time.Minute)
	if err != nil {
		return worker{}, fmt.Errorf("a worker can't be started: %w", err)
	}
	return worker{engine: engine, memory: e.memory.last, open: map[*Document]*handle{}}, nil
}

func (e *engines) close() error {
	err := e.pool.Close()
	if e.cache != nil {
		e.cache.Close(context.Background())
	}
	return err
}
