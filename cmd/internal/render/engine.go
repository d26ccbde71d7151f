package render

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// engines makes engines of one translation.
type engines struct {
	pool    pdfium.Pool
	memory  *allocator
	options Options
}

// startEngines translates the engine, or takes up its kept translation.
func startEngines(o Options) (*engines, error) {
	if o.Interpreted {
		return newEngines(o, nil) // nothing to keep
	}
	return startKept(o.cacheDir(), func(cache wazero.CompilationCache) (*engines, error) { return newEngines(o, cache) })
}

// startKept starts with the cache in dir, with a new cache in place of a spoiled one, and
// without.
func startKept[E any](dir string, start func(wazero.CompilationCache) (E, error)) (E, error) {
	if dir != "" {
		for range 2 {
			if cache, err := wazero.NewCompilationCacheWithDir(dir); err == nil {
				e, err := start(cache)
				if err == nil {
					return e, nil
				}
				cache.Close(context.Background())
			}
			os.RemoveAll(dir)
		}
	}
	return start(nil)
}

// cacheDir is the folder for the translated engine, or nothing if it can't be written.
func (o Options) cacheDir() string {
	if o.CacheDir == "" {
		return ""
	}
	dir := filepath.Join(o.CacheDir, cacheFolder)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return ""
	}
	probe, err := os.CreateTemp(dir, "probe")
	if err != nil {
		return ""
	}
	probe.Close()
	os.Remove(probe.Name())
	return dir
}

func newEngines(o Options, cache wazero.CompilationCache) (*engines, error) {
	e := &engines{memory: &allocator{limit: uint64(o.WorkerMemory)}, options: o}
	ctx := experimental.WithMemoryAllocator(context.Background(), e.memory)
	workers := runtime.GOMAXPROCS(0)
	if o.Waited {
		workers = 1 // each takes some 60 MB
	}
	ctx = experimental.WithCompilationWorkers(ctx, workers)
	config := wazero.NewRuntimeConfig()
	if o.Interpreted {
		config = wazero.NewRuntimeConfigInterpreter()
	}
	config = config.
		// PDFium's error handling is compiled to WebAssembly exceptions.
		WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling)
	if cache != nil {
		config = config.WithCompilationCache(cache)
	}
	var err error
	e.pool, err = webassembly.Init(webassembly.Config{
		Context:       ctx,
		MaxTotal:      1,
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

func (e *engines) make() (*drawer, error) {
	engine, err := e.pool.GetInstance(time.Minute)
	if err != nil {
		return nil, fmt.Errorf("a worker can't be started: %w", err)
	}
	return &drawer{engine: engine, memory: e.memory.last, options: e.options, open: map[*Document]*handle{}}, nil
}

// memory is the linear memory of one engine.
type memory struct {
	reserved []byte
	most     uint64 // bytes that are ever lent
	limit    uint64 // bytes that may be in use now
	size     uint64 // bytes in use; it never shrinks
	refused  bool   // more than the limit has been asked for
}

// allocator hands out the memories of the engines, which are made one at a time.
type allocator struct {
	limit uint64
	last  *memory
}

func (a *allocator) Allocate(_, most uint64) experimental.LinearMemory {
	most = min(a.limit, most)
	a.last = &memory{most: most, limit: most}
	return a.last
}

func (m *memory) Reallocate(size uint64) []byte {
	var reserved []byte
	if size <= min(m.limit, m.most) {
		reserved = reserve(m.reserved, size, m.most)
	}
	if reserved == nil {
		m.refused = true
		return nil
	}
	m.reserved = reserved
	m.size = size
	return m.reserved[:size]
}

func (m *memory) Free() {
	if reserved := m.reserved; reserved != nil {
		m.reserved = nil
		release(reserved)
	}
}
