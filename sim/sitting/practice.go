package sitting

import (
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Sees is what an eye makes of the light from the chart behind a frame,
// accommodating as it does now: what practice and debriefs show. No answer
// comes from it. A frame that lets nothing through, and an eye that is covered,
// see nothing: open is false.
func (s *Sitting) Sees(side Side, f optics.Frame) (seen patient.Sight, open bool) {
	frames := s.bench.state.Frames
	frames[side.Index()] = f
	if !s.open(side, frames) {
		return patient.Sight{}, false
	}
	return s.sight(side, frames, min(s.effort.Focus, s.setup.Eyes[side.Index()].Amplitude)), true
}

// Accommodation is how much the eyes accommodate now, dioptres: for practice
// and debriefs.
func (s *Sitting) Accommodation() float64 { return s.effort.Focus }
