// Package work does what takes long piece by piece, between frames, for in a
// browser there is one thread for everything.
package work

import (
	"iter"
	"time"

	"conoid/cmd/station/internal/ui"
)

// Line is the work that waits to be done, and the input that waits for it.
type Line struct {
	clock      func() time.Time // for the pace
	later      *job             // done once the screen that says so was painted
	view       *job             // a picture that is to be seen, before what is done behind
	background *job             // done while the user goes on
	running    *job             // what is being done just now
	waiting    []ui.Input
	painted    bool
	again      bool
}

// New is a line with nothing in it.
func New(clock func() time.Time) *Line { return &Line{clock: clock} }

// job is something long that is done piece by piece.
type job struct {
	f    func()
	next func() (struct{}, bool)
	stop func()
	pace func(struct{}) bool // of the work under way; false when it is to end
	sole bool                // nothing else is done before it is done
}

// slice is how long work may go on in one frame.
const slice = 8 * time.Millisecond

// abandoned ends work that nobody waits for any more.
type abandoned struct{}

// start begins the work, where it will be gone on with: the runtime wants all of
// it done by goroutines that are all bound to a thread, or all not.
func (j *job) start() {
	f := j.f
	j.next, j.stop = iter.Pull(func(yield func(struct{}) bool) {
		defer func() {
			if r := recover(); r != nil {
				if _, is := r.(abandoned); !is {
					panic(r)
				}
			}
		}()
		j.pace = yield
		f()
	})
}

// end gives the work up.
func (j *job) end() {
	if j.stop != nil {
		j.stop()
	}
}

// Pause is called in long work. Outside of such work it does nothing.
func (l *Line) Pause() {
	if j := l.running; j != nil && !j.pace(struct{}{}) {
		panic(abandoned{})
	}
}

// Within is called in the middle of what nobody else may touch meanwhile. It stops where
// nothing else is done before the work under way, and the screen waits for it; elsewhere
// it does nothing.
func (l *Line) Within() {
	if l.running != nil && l.running.sole {
		l.Pause()
	}
}

// spend does work for a slice of time, or to its end, and reports whether it is
// done.
func (l *Line) spend(j *job) (done bool) {
	if j.next == nil {
		j.start()
	}
	was := l.running
	l.running = j
	defer func() { l.running = was }()
	for began := l.clock(); ; {
		if _, more := j.next(); !more {
			return true
		}
		if l.clock().Sub(began) >= slice {
			return false
		}
	}
}

// Do has f done later, after the screen that shows a wait was painted. Until it
// is done the screen stays as it is, and what the user does waits in line.
func (l *Line) Do(f func()) { l.later, l.painted = &job{f: f, sole: true}, false }

// Behind has f done while the user goes on with something else; f must not touch
// what is on the screen until its end.
func (l *Line) Behind(f func()) {
	if l.background != nil {
		l.background.end()
	}
	l.background = &job{f: f}
}

// View has f make a picture while the user goes on, unless one is being made: that is not given up,
// since whoever changes what they look at faster than it is made would see nothing. The screen is
// another one when it is made, and can ask for the next.
func (l *Line) View(f func()) {
	if l.view == nil {
		l.view = &job{f: f}
	}
}

// Busy reports whether work waits that the screen has to wait for.
func (l *Line) Busy() bool { return l.later != nil }

// Left reports whether any work is left.
func (l *Line) Left() bool { return l.later != nil || l.view != nil || l.background != nil }

// Shows reports whether work is left that the screen may tell of as it goes on.
func (l *Line) Shows() bool { return l.later != nil || l.background != nil }

// Painted tells that a screen was described since the work was asked for.
func (l *Line) Painted() {
	if l.later != nil {
		l.painted = true
	}
}

// mostWaiting is how many frames of input may wait in line.
const mostWaiting = 240

// Labour goes on with work. Busy reports whether the screen has to wait for it,
// and again whether the screen may be another one now; what waited longest
// takes the place of the input.
func (l *Line) Labour(in *ui.Input) (busy, again bool) {
	l.again = false
	if l.later != nil && !l.painted { // the screen that says so comes first
		l.wait(*in)
		*in = ui.Input{Pointer: in.Pointer, Over: in.Over, Time: in.Time}
		return false, true
	}
	if j := l.later; j != nil {
		l.later = nil // what it does may ask for more to be done later
		done := l.spend(j)
		if !done {
			l.later = j
			l.wait(*in)
			return true, false
		}
		l.painted = false
		l.again = true
	} else if j := l.view; j != nil && j != l.running {
		if l.spend(j) {
			l.view, l.again = nil, true
		}
	} else if j := l.background; j != nil && j != l.running {
		l.background = nil
		if done := l.spend(j); !done && l.background == nil {
			l.background = j
		}
		l.again = true
	}
	if len(l.waiting) > 0 { // in order: first what waited longest
		l.wait(*in)
		*in = l.waiting[0]
		l.waiting = l.waiting[1:]
		l.again = true
	}
	return false, l.again
}

// wait keeps what the user did for later; frames without anything are dropped.
func (l *Line) wait(in ui.Input) {
	if in.Active() && len(l.waiting) < mostWaiting {
		l.waiting = append(l.waiting, in)
	}
}
