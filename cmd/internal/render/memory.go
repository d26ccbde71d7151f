package render

import (
	"sync/atomic"

	"github.com/tetratelabs/wazero/experimental"
)

// memory is the linear memory of one engine.
type memory struct {
	reserved []byte
	most     uint64        // bytes that are ever lent
	limit    atomic.Uint64 // bytes that may be in use now
	size     atomic.Uint64 // bytes in use; a worker's memory never shrinks
	refused  atomic.Bool   // the worker has asked for more than the limit
}

// allocator hands out the memories of the engines, which are made one at a time.
type allocator struct {
	limit uint64
	last  *memory
}

func (a *allocator) Allocate(_, most uint64) experimental.LinearMemory {
	a.last = &memory{most: min(a.limit, most)}
	a.last.limit.Store(a.last.most)
	return a.last
}

func (m *memory) Reallocate(size uint64) []byte {
	if size > min(m.limit.Load(), m.most) {
		m.refused.Store(true)
		return nil
	}
	reserved := reserve(m.reserved, size, m.most)
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
