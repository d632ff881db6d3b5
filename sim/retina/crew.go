package retina

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// crew shares the items of a piece of work among the processors. Whoever is
// free takes the next item; no result depends on who took it.
type crew struct {
	mates []*mate
	next  atomic.Int32
	count int
	work  func(m *mate, item int)
	done  sync.WaitGroup
}

// mate is one worker and its own buffers.
type mate struct {
	re, im   []float32 // a strip of rows
	tre, tim []float32 // a square
	wide     []float32 // a row of a pupil wider than its transform
	run      func()
}

const mostMates = 8

// each calls work for the items 0 to count-1 and returns when all are done.
// Where there is one processor it starts nothing, and calls between, if it is not
// nil, after each item.
func (c *crew) each(count int, work func(m *mate, item int), between func()) {
	hands := min(runtime.GOMAXPROCS(0), mostMates, count)
	for len(c.mates) < max(hands, 1) {
		m := &mate{}
		m.run = func() {
			c.take(m, nil)
			c.done.Done()
		}
		c.mates = append(c.mates, m)
	}
	c.next.Store(0)
	c.count, c.work = count, work
	for i := 1; i < hands; i++ {
		c.done.Add(1)
		go c.mates[i].run()
	}
	if hands > 1 {
		between = nil
	}
	c.take(c.mates[0], between)
	c.done.Wait()
}

func (c *crew) take(m *mate, between func()) {
	for {
		i := int(c.next.Add(1)) - 1
		if i >= c.count {
			return
		}
		c.work(m, i)
		if between != nil {
			between()
		}
	}
}

// sized is a slice of the given length, the old one if it is long enough. What
// stands in it is undefined.
func sized(s []float32, n int) []float32 {
	if cap(s) < n {
		return make([]float32, n)
	}
	return s[:n]
}
