package sitting

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
)

// durations are what the actions take, in simulated seconds: the project's
// estimate of unhurried work. About 3 s go to each look at a choice (common
// practice).
var durations = map[Verb]float64{
	Put: 4, Take: 3, Exchange: 5, Turn: 3, Hold: 2, Lower: 1, Cover: 2, Uncover: 2,
	Show: 3, Point: 2, Ask: 4, Explain: 10, Note: 3,
}

// exchangeGap is how long, in seconds, an exchange leaves both lenses in, or
// none.
const exchangeGap = 1.0

// apply carries out an action that was checked, up to where the patient
// answers. While time passes, passing is called with how much it was, in
// seconds, and with the bench as it stands meanwhile.
func (b *Bench) apply(a Action, passing func(seconds float64)) {
	was, goesOn := b.state.Frames, a.goesOn(b.last)
	b.steps[b.tested.Index()].count(b.last, a)
	b.last = a
	seconds := durations[a.Do]
	switch a.Do {
	case Ask:
		seconds /= 2 // the answer comes half way, after a good look
	case Put, Take, Exchange, Turn:
		seconds -= b.applyCell(a, passing)
	default:
		b.applyOther(a)
	}
	// A turn goes on as long as nothing else is done: what it is compared with
	// is what was there before it began.
	if changed(was, b.state.Frames) && !goesOn {
		b.changes++
	}
	if was != b.state.Frames {
		b.changeAt = b.state.Seconds
	}
	b.wait(seconds, passing)
}

// applyOther does what an action does outside the cells.
func (b *Bench) applyOther(a Action) {
	switch a.Do {
	case Hold:
		b.state.Frames[a.Eye.Index()].Held = a.Lens
	case Lower:
		b.state.Frames[a.Eye.Index()].Held = optics.Lens{}
	case Cover, Uncover:
		b.state.Covered[a.Eye.Index()] = a.Do == Cover
	case Show:
		b.show(a)
	case Point:
		b.state.Pointer = a.Axis
	case Note:
		b.state.Card[a.Field] = a.Text
	case End:
		b.ends[b.tested.Index()] = &EndPoint{Rx: *a.Rx, Acuity: a.Acuity}
	}
}

// show hangs another chart. Its letters are yet to be hung.
func (b *Bench) show(a Action) {
	size := b.state.Size
	if a.Size != nil {
		size = *a.Size
	}
	b.state.Rows = nil
	if a.Chart.Is(chart.LetterChart) {
		b.state.Showing++
	}
	b.state.Chart, b.state.Size = a.Chart, size
}

// listen is the time in which the answer to a question is heard, from one who
// takes so many seconds more over it than most.
func (b *Bench) listen(a Action, more float64, passing func(seconds float64)) {
	if a.Do == Ask {
		b.wait(durations[Ask]/2+more, passing)
	}
}

// wait lets simulated time pass.
func (b *Bench) wait(seconds float64, passing func(seconds float64)) {
	b.state.Seconds += seconds
	passing(seconds)
}

// changed reports whether lenses in cells differ; a lens held up is not a change.
func changed(a, b [2]optics.Frame) bool {
	return a[0].Lenses != b[0].Lenses || a[1].Lenses != b[1].Lenses
}

// applyCell does what an action does to a cell of a frame, and tells how much
// time that took beyond the wait that follows.
func (b *Bench) applyCell(a Action, passing func(seconds float64)) (spent float64) {
	f := &b.state.Frames[a.Eye.Index()]
	cell, _ := a.Cell.Cell()
	switch a.Do {
	case Take:
		f.Lenses[cell] = optics.Lens{}
	case Turn:
		f.Lenses[cell].Axis = float64(a.Axis)
	default:
		if a.Do == Exchange {
			b.between(f, cell, a, passing)
			spent = exchangeGap
		}
		f.Lenses[cell] = a.Lens
	}
	return spent
}

// oldFirst tells in which order an exchange is done. A careful examiner never
// lets plus be missing: a new plus lens goes in before the old one comes out,
// and an old minus lens comes out before the new one goes in.
func oldFirst(a Action, old optics.Lens) bool {
	if a.OldFirst || a.NewFirst {
		return a.OldFirst
	}
	return old.Rx().SE()+a.Lens.Rx().SE() < 0
}

// between is the moment in the middle of an exchange: with both lenses before
// the eye, or with none. An eye that then has to accommodate does.
func (b *Bench) between(f *optics.Frame, cell optics.Cell, a Action, passing func(seconds float64)) {
	old, held := f.Lenses[cell], f.Held
	if oldFirst(a, old) {
		f.Lenses[cell] = optics.Lens{}
	} else {
		f.Held = a.Lens
	}
	b.wait(exchangeGap, passing)
	f.Lenses[cell], f.Held = old, held
}
