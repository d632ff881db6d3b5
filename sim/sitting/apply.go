package sitting

import (
	"math"

	"conoid/sim/optics"
	"conoid/sim/patient"
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

// apply changes the state by an action that was checked.
func (s *Sitting) apply(a Action) {
	f := &s.state.Frames[a.Eye.Index()]
	was := settledView{s.state.Frames, s.focus}
	seconds := durations[a.Do]
	switch a.Do {
	case Ask:
		seconds /= 2 // the answer comes half way, after a good look
	case Put, Take, Exchange, Turn:
		seconds -= s.applyCell(f, a)
	case Explain:
		s.explained = true
	case Hold:
		s.unheld = was
		f.Held = a.Lens
	case Lower:
		f.Held = optics.Lens{}
	case Cover, Uncover:
		s.state.Covered[a.Eye.Index()] = a.Do == Cover
	case Show:
		s.state.Chart = a.Chart
		if a.Size != nil {
			s.state.Size = *a.Size
		}
	case Point:
		s.state.Pointer = a.Axis
	case Note:
		s.state.Card[a.Field] = a.Text
	case End:
		s.end = &EndPoint{Rx: *a.Rx, Acuity: a.Acuity}
	}
	// A turn goes on as long as nothing else is done: what it is compared with
	// is what was there before it began.
	if changed(was.frames, s.state.Frames) && !s.turning(a) {
		s.before = settledView{withoutHeld(was.frames), was.focus}
		s.lensChanged = true
	}
	if was.frames != s.state.Frames {
		s.changed = s.state.Seconds
	}
	s.wait(seconds)
}

// turning tells whether a goes on with the turn that the last event was.
func (s *Sitting) turning(a Action) bool {
	n := len(s.events)
	return n > 0 && a.goesOn(s.events[n-1].Action)
}

// withoutHeld are frames before which no lens is held up.
func withoutHeld(f [2]optics.Frame) [2]optics.Frame {
	for i := range f {
		f[i].Held = optics.Lens{}
	}
	return f
}

// changed tells whether lenses in cells differ; a lens held up is not a change.
func changed(a, b [2]optics.Frame) bool {
	return a[0].Lenses != b[0].Lenses || a[1].Lenses != b[1].Lenses
}

// applyCell does what an action does to a cell of a frame, and tells how much
// time that took beyond the wait that follows.
func (s *Sitting) applyCell(f *optics.Frame, a Action) (spent float64) {
	cell, _ := a.Cell.Cell()
	switch a.Do {
	case Take:
		f.Lenses[cell] = optics.Lens{}
	case Turn:
		f.Lenses[cell].Axis = float64(a.Axis)
	default:
		if a.Do == Exchange {
			s.between(f, cell, a.Lens, oldFirst(a, f.Lenses[cell]))
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
func (s *Sitting) between(f *optics.Frame, cell optics.Cell, lens optics.Lens, oldFirst bool) {
	old, held := f.Lenses[cell], f.Held
	if oldFirst {
		f.Lenses[cell] = optics.Lens{}
	} else {
		f.Held = lens
	}
	s.wait(exchangeGap)
	f.Lenses[cell], f.Held = old, held
}

// wait lets simulated time pass: accommodation moves to where the open eyes
// want it, quickly when it rises and slowly when it relaxes.
func (s *Sitting) wait(seconds float64) {
	s.state.Seconds += seconds
	s.focus = patient.Accommodate(s.focus, s.wanted(), seconds)
	s.focus = math.Round(s.focus*focusGrain) / focusGrain
}

// focusGrain is the number of steps to a dioptre in which accommodation is
// kept: finer than any eye notices, and coarse enough to come to rest.
const focusGrain = 64

// wanted is the accommodation that suits what is looked at: the tested eye's,
// or the other's when the tested eye cannot see.
func (s *Sitting) wanted() patient.Range {
	for _, side := range []Side{s.setup.Tested, s.setup.Tested.Other()} {
		if s.open(side, s.state.Frames) {
			return s.wantedBehind(side, s.state.Frames)
		}
	}
	return patient.Range{}
}

func (s *Sitting) wantedBehind(side Side, frames [2]optics.Frame) patient.Range {
	v := view{side: side, frame: frames[side.Index()]}
	w, ok := s.wants[v]
	if !ok {
		w = s.focuser.Wanted(s.sight(side, frames, 0), s.setup.Eyes[side.Index()].Amplitude)
		s.wants[v] = w
	}
	return w
}

// open tells whether an eye sees past its frame.
func (s *Sitting) open(side Side, frames [2]optics.Frame) bool {
	return !s.state.Covered[side.Index()] && !frames[side.Index()].Blocked()
}

// sight is what an eye makes of the light behind its frame.
func (s *Sitting) sight(side Side, frames [2]optics.Frame, accommodation float64) patient.Sight {
	f := frames[side.Index()]
	aperture := 0.0
	if f.HasPinhole() {
		aperture = optics.PinholeDiameter
	}
	return patient.Through(*s.eye(side), f.AtCornea(s.setup.Room.Distance), accommodation, aperture)
}

// looks are the open eyes behind given frames.
func (s *Sitting) looks(frames [2]optics.Frame, accommodation float64) (out []*patient.Look) {
	for _, side := range []Side{Right, Left} {
		if s.open(side, frames) {
			a := math.Min(accommodation, s.setup.Eyes[side.Index()].Amplitude)
			out = append(out, s.look(side, frames[side.Index()], a))
		}
	}
	return out
}

// view is one eye behind one frame.
type view struct {
	side          Side
	frame         optics.Frame
	accommodation float64
}

// look is an eye behind a frame, ready to judge. The same eye behind the same
// lenses is worked out once: charts and arrows change more often than lenses.
func (s *Sitting) look(side Side, f optics.Frame, accommodation float64) *patient.Look {
	v := view{side, f, accommodation}
	l, ok := s.seen[v]
	if !ok {
		if len(s.seen) >= mostSeen {
			clear(s.seen)
		}
		frames := s.state.Frames
		frames[side.Index()] = f
		l = s.sight(side, frames, accommodation).Look(s.renderer)
		s.seen[v] = l
	}
	return l
}

// mostSeen limits the memory that views keep: about a quarter of a megabyte
// each.
const mostSeen = 120
