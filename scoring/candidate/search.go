package candidate

import (
	"math"

	"conoid/sim/method"
)

// What an answer says of where one stands.
const (
	tooLow  = method.More
	even    = method.Stay
	tooHigh = method.Less
)

// search closes in on the place where answers change sides: it goes up from what
// is too low and down from what is too high, halves what lies between, and looks
// how far it is alike.
type search struct {
	look        func(at int) method.Way
	step, fine  int // first steps, and the nearest that two places are told apart
	least, most int // where it ends
	widest      int // how far to look for an end of what is alike
}

// found is what a search came to.
type found struct {
	low, high   int  // the last place that was too low, and the first that was too high
	first, last int  // the places that were alike
	alike       bool // there were some
	changed     bool // answers changed: one side was seen at least, and what is not that side
}

const (
	unseenLow  = math.MinInt32
	unseenHigh = math.MaxInt32
)

// from searches from a place on.
func (s search) from(at int) found {
	f := found{low: unseenLow, high: unseenHigh}
	const longest = 24
	for range longest {
		switch s.look(at) {
		case tooLow:
			f.low = max(f.low, at)
		case tooHigh:
			f.high = min(f.high, at)
		default:
			return s.around(at, f)
		}
		f.changed = f.low != unseenLow && f.high != unseenHigh
		switch {
		case f.changed && f.high-f.low <= s.fine:
			return f
		case f.changed:
			at = f.low + s.fine*max(1, (f.high-f.low)/(2*s.fine))
		case f.low != unseenLow:
			at = f.low + s.step
		default:
			at = f.high - s.step
		}
		if at < s.least || at > s.most {
			return f
		}
	}
	return f
}

// around looks how far it is alike on both sides of a place.
func (s search) around(at int, f found) found {
	f.alike, f.first, f.last = true, at, at
	for v := at - s.fine; v > f.low && v >= s.least && at-v <= s.widest; v -= s.fine {
		if s.lookFor(v, tooLow) != even {
			f.low = v
			break
		}
		f.first = v
	}
	for v := at + s.fine; v < f.high && v <= s.most && v-at <= s.widest; v += s.fine {
		if s.lookFor(v, tooHigh) != even {
			f.high = v
			break
		}
		f.last = v
	}
	f.changed = f.low != unseenLow || f.high != unseenHigh
	return f
}

// lookFor looks where one answer is expected, and once more when the opposite comes.
func (s search) lookFor(at int, expected method.Way) method.Way {
	way := s.look(at)
	if way == -expected {
		way = s.look(at)
	}
	return way
}

// middle is the middle between both sides, or of what is alike where a side was
// never seen.
func (f found) middle() float64 {
	low, high := f.low, f.high
	if low == unseenLow {
		low = f.first
	}
	if high == unseenHigh {
		high = f.last
	}
	return float64(low+high) / 2
}
