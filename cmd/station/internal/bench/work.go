package bench

import (
	"iter"
	"time"

	"conoid/cmd/station/internal/ui"
)

// work is something long that is done piece by piece, between frames, for in a
// browser there is one thread for everything.
type work struct {
	f    func()
	next func() (struct{}, bool)
	stop func()
	pace func(struct{}) bool // of the work under way; false when it is to end
}

// slice is how long work may go on in one frame.
const slice = 8 * time.Millisecond

// abandoned ends work that nobody waits for any more.
type abandoned struct{}

// hire prepares f to be done piece by piece: it pauses whenever a.pause is
// called in it.
func (a *App) hire(f func()) *work { return &work{f: f} }

// start begins the work, where it will be gone on with: the runtime wants all of
// it done by goroutines that are all bound to a thread, or all not.
func (w *work) start() {
	f := w.f
	w.next, w.stop = iter.Pull(func(yield func(struct{}) bool) {
		defer func() {
			if r := recover(); r != nil {
				if _, is := r.(abandoned); !is {
					panic(r)
				}
			}
		}()
		w.pace = yield
		f()
	})
}

// end gives the work up.
func (w *work) end() {
	if w.stop != nil {
		w.stop()
	}
}

// pause is called in long work. Outside of such work it does nothing.
func (a *App) pause() {
	if w := a.running; w != nil && !w.pace(struct{}{}) {
		panic(abandoned{})
	}
}

// spend does work for a slice of time, or to its end, and tells whether it is
// done.
func (a *App) spend(w *work) (done bool) {
	if w.next == nil {
		w.start()
	}
	was := a.running
	a.running = w
	defer func() { a.running = was }()
	for began := a.clock(); ; {
		if _, more := w.next(); !more {
			return true
		}
		if a.clock().Sub(began) >= slice {
			return false
		}
	}
}

// do is done later, after the screen that shows a wait was painted. Until it is
// done the screen stays as it is, and what the user does waits in line.
func (a *App) do(f func()) { a.later, a.painted = a.hire(f), false }

// behind is done while the user goes on with something else; f must not touch
// what is on the screen until its end.
func (a *App) behind(f func()) {
	if a.background != nil {
		a.background.end()
	}
	a.background = a.hire(f)
	a.again = true
}

// mostWaiting is how many frames of input may wait in line.
const mostWaiting = 240

// labour goes on with work, and tells whether the screen has to wait for it.
func (a *App) labour(in *ui.Input) (busy bool) {
	if w := a.later; w != nil && a.painted {
		a.later = nil // what it does may ask for more to be done later
		done := a.spend(w)
		if !done {
			a.later = w
			a.wait(*in)
			return true
		}
		a.painted = false
		a.again = true
	} else if w := a.background; w != nil && w != a.running {
		a.background = nil
		if done := a.spend(w); !done && a.background == nil {
			a.background = w
		}
		a.again = true
	}
	if len(a.waiting) > 0 { // in order: first what waited longest
		a.wait(*in)
		*in = a.waiting[0]
		a.waiting = a.waiting[1:]
		a.again = true
	}
	return false
}

// wait keeps what the user did for later; frames without anything are dropped.
func (a *App) wait(in ui.Input) {
	if in.Active() && len(a.waiting) < mostWaiting {
		a.waiting = append(a.waiting, in)
	}
}
