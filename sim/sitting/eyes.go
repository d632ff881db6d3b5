package sitting

import (
	"math"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// accommodate moves accommodation, while time passes, to where the open eyes
// want it.
func (s *Sitting) accommodate(seconds float64) {
	s.effort = s.setup.Focusing.After(s.effort, s.wanted(), seconds)
}

// wanted is the accommodation that suits what is looked at: the tested eye's,
// or the other's when the tested eye cannot see.
func (s *Sitting) wanted() patient.Demand {
	for _, side := range []Side{s.setup.Tested, s.setup.Tested.Other()} {
		if s.open(side, s.bench.state.Frames) {
			return s.wantedBehind(side, s.bench.state.Frames)
		}
	}
	return patient.Demand{Most: s.setup.Eyes[s.setup.Tested.Index()].Amplitude}
}

func (s *Sitting) wantedBehind(side Side, frames [2]optics.Frame) patient.Demand {
	v := view{side: side, frame: frames[side.Index()]}
	return s.wants.get(v, func() patient.Demand {
		return s.focuser.Wanted(s.sight(side, frames, 0), s.setup.Eyes[side.Index()].Amplitude, s.setup.Focusing.Tonic)
	})
}

// open reports whether an eye sees past its frame.
func (s *Sitting) open(side Side, frames [2]optics.Frame) bool {
	return !s.bench.state.Covered[side.Index()] && !frames[side.Index()].Blocked()
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
	return s.seen.get(view{side, f, accommodation}, func() *patient.Look {
		frames := s.bench.state.Frames
		frames[side.Index()] = f
		return s.sight(side, frames, accommodation).Look(s.renderer)
	})
}

// How much is remembered of a patient. ViewBytes is about what a view keeps that was
// asked about every chart, letters and colours too (measured: 24 lenses); most keep a
// third of it. What accommodation is wanted behind a frame takes some hundred bytes.
const (
	mostSeen   = 120
	mostWanted = 10_000
	ViewBytes  = 1_800_000
)

// Remember has the views be remembered that were used last, so many of them, for all
// sittings with the patient: for whoever lets many examine the same one.
func (s *Sitting) Remember(views int) { s.seen.keep(views) }
