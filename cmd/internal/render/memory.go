package render

import (
	"sync/atomic"

	"github.com/tetratelabs/wazero/experimental"
)

// memory is the linear memory of one worker.
type memory struct {
	reserved []byte
	limit    uint64
	size     atomic.Uint64 // bytes in use; a worker's memory never shrinks
	refused  atomic.Bool   // the worker has asked for more than the limit
}

// allocator hands out the memories of the workers. Workers are made one at a
// time, so that the last memory is that of the newest worker.
type allocator struct {
	limit uint64
	last  *memory
}

func (a *allocator) Allocate(_, most uint64) experimental.LinearMemory {
	a.last = &memory{limit: min(a.limit, most)}
	return a.last
}

func (m *memory) Reallocate(size uint64) []byte {
	if size > m.limit {
		m.refused.Store(true)
		return nil
	}
	reserved := reserve(m.reserved, size, m.limit)
	if reserved == nil {
		m.refused.Store(true)
		return nil
	}
	m.reserved = reserved
	m.size.Store(size)
	return m.reserved[:size]
}

func (m *memory) Free() {
	if reserved := m.reserved; reserved != nil {
		m.reserved = nil
		release(reserved)
	}
}
