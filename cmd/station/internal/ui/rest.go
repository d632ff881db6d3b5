package ui

import "time"

// rest is whether a frame is all there is to see until something happens.
type rest struct {
	again bool // the next frame differs
	moved bool // parts of this one will not stay

	wakes bool // it will differ without anything happening, once it is due
	due   time.Duration
}

// Again asks for another frame at once: something was learnt in this one that
// changes the next.
func (r *rest) Again() { r.again = true }

// Unsettle says that parts of this frame will not stay where they are, or as
// they are: it should be described once more, or somebody would press what has
// moved on.
func (r *rest) Unsettle() { r.again, r.moved = true, true }

// Wake asks for another frame at a time, if nothing happens sooner.
func (r *rest) Wake(at time.Duration) {
	if !r.wakes || at < r.due {
		r.wakes, r.due = true, at
	}
}

// Woken reports whether a time has come that a part of the last frame waits for.
func (r *rest) Woken(now time.Duration) bool { return r.wakes && now >= r.due }

// Due is the time that a part of the last frame waits for, if any does.
func (r *rest) Due() (at time.Duration, wakes bool) { return r.due, r.wakes }

// Settled reports whether the parts of the last frame stay where they are.
func (r *rest) Settled() bool { return !r.moved }
