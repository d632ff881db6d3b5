package sitting

import (
	"sync"

	"conoid/sim/eye"
)

// settledEye is an eye with its focus settled, and its best acuity.
type settledEye struct {
	eye  eye.Eye
	best float64
}

// mostSettled is how many eyes are remembered: the same few are seated again and again, by who
// tries once more, steps back, or is compared with experts.
const mostSettled = 32

// memory is the eyes that were settled last, by what they were settled from. What is settled is
// the same each time, so that nothing depends on what is remembered.
type memory struct {
	mu   sync.Mutex
	eyes map[string]settledEye
}

var settledEyes memory

func (m *memory) get(key string) (settledEye, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	done, is := m.eyes[key]
	return done, is
}

func (m *memory) put(key string, done settledEye) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.eyes == nil || len(m.eyes) >= mostSettled {
		m.eyes = map[string]settledEye{}
	}
	m.eyes[key] = done
}
