package sitting

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Sees is what an eye makes of the light from the chart behind a frame,
// accommodating as it does now: what practice and debriefs show. What is left is
// reckoned as the end point is, of the lens of [optics.Frame.Told]. No answer comes
// from it. A frame that lets nothing through, and an eye that is covered,
// see nothing: open is false.
func (s *Sitting) Sees(side Side, f optics.Frame) (seen patient.Sight, open bool) {
	frames := s.bench.state.Frames
	frames[side.Index()] = f
	if !s.open(side, frames) {
		return patient.Sight{}, false
	}
	focus := min(s.effort.Focus, s.setup.Eyes[side.Index()].Amplitude)
	seen, room := s.sight(side, frames, focus), s.setup.Room
	seen.Left = s.eye(side).Left(optics.Required(f.Told(room.Distance), f.Vertex, room.Distance), focus)
	return seen, true
}

// Accommodation is how much the eyes accommodate now, dioptres: for practice
// and debriefs.
func (s *Sitting) Accommodation() float64 { return s.effort.Focus }

// furthestBalance is how far from the true axis, in degrees, that of the arrow is
// looked for: aberrations move it by less than ten.
const furthestBalance = 20

// ArrowBalance is the label at which the limbs of the arrow feel alike to an eye that
// is relaxed, without noise, behind the usual fog and without a cylinder. It is the
// axis of the error where aberrations do not move it, and 180 without a cylinder. No
// answer comes from it: it is for marks.
func (s *Sitting) ArrowBalance(side Side) float64 {
	truth := s.Truth(side).Error.MinusCyl()
	if truth.Cyl == 0 {
		return 180
	}
	frames := s.bench.state.Frames
	f := optics.NewFrame(s.setup.Room.Vertex)
	f.Lenses[optics.Back] = optics.SphereOf(truth.Sphere + method.UsualFog)
	frames[side.Index()] = f
	look := []*patient.Look{s.sight(side, frames, 0).Look(s.renderer)}
	low, high := -float64(furthestBalance), float64(furthestBalance)
	for high-low > 0.1 {
		mid := (low + high) / 2
		left, right := chart.ArrowLimbs(truth.Axis + mid)
		if patient.Mean(look, []chart.Line{right}) < patient.Mean(look, []chart.Line{left}) {
			low = mid
		} else {
			high = mid
		}
	}
	return optics.Axis(math.Round(truth.Axis + (low+high)/2))
}
