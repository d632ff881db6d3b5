package hand

import "time"

// The times of a key that is held down, where the system does not repeat it.
const (
	firstRepeat = 400 * time.Millisecond
	nextRepeats = 40 * time.Millisecond
)

// Repeat says when a key that is held down counts as pressed again. The zero
// value is a key that is up.
type Repeat struct {
	down bool
	next time.Duration
}

// Press reports whether the key, which is down or not at a time, counts as
// pressed. After a long pause between two calls it counts once, not often.
func (r *Repeat) Press(down bool, at time.Duration) bool {
	switch {
	case !down:
		r.down = false
		return false
	case !r.down:
		r.down, r.next = true, at+firstRepeat
		return true
	case at >= r.next:
		r.next = at + nextRepeats
		return true
	}
	return false
}
