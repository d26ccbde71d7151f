package render

import (
	"github.com/tetratelabs/wazero/experimental"
)

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
