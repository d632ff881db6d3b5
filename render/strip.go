package render

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Stigmatic is the interval of Sturm, in dioptres, below which a conoid is drawn
// and told as a point: a quarter of the smallest cylinder of a trial set.
const Stigmatic = 0.06

// Point reports whether light of a residual meets in one point, as far as anybody
// is told.
func Point(residual optics.Power) bool { return 2*residual.Astigmatism() < Stigmatic }

// Place is where a focus lies that is so many dioptres in front of the retina: on it
// when it is nearer than half of Stigmatic, rounded as it would be told.
func Place(d float64) fact.Fact {
	amount := math.Round(math.Abs(d)*100) / 100
	switch {
	case amount < Stigmatic/2:
		return fact.New("place.on")
	case d > 0:
		return fact.New("place.before", "power", fact.Amount(amount))
	}
	return fact.New("place.behind", "power", fact.Amount(amount))
}

// Strip is the plan of a picture of where light of a residual is focused: on a ruler
// in dioptres, with the retina in the middle and the light coming from the left.
// Places are in the units of its box, y down.
type Strip struct {
	Residual    optics.Power // at the cornea, dioptres
	Front, Back optics.FocalLine
	Reach       float64 // dioptres from the retina to either end
	Mid         float64 // y of the axis of the beam
	Half        float64 // half the length of a focal line

	middle, wide float64 // x of the retina, and from there to either end
}

// NewStrip plans a picture between two places along x and two along y, with focal
// lines no longer than twice most.
func NewStrip(residual optics.Power, left, right, top, bottom, most float64) Strip {
	s := Strip{Residual: residual, middle: (left + right) / 2, wide: (right - left) / 2, Mid: (top + bottom) / 2}
	s.Front, s.Back = residual.FocalLines()
	s.Reach = max(2, math.Ceil(max(math.Abs(s.Front.Power), math.Abs(s.Back.Power))+0.4))
	s.Half = min((bottom-top)/2, most)
	return s
}

// X is where a vergence lies, in dioptres: more plus is farther to the left, before
// the retina.
func (s Strip) X(d float64) float64 { return s.middle - d/s.Reach*s.wide }

// Point reports whether both focal lines are drawn as one point.
func (s Strip) Point() bool { return Point(s.Residual) }

func (s Strip) interval() float64 { return s.Front.Power - s.Back.Power }

// Least is the radius of the circle of least confusion; it stands at the residual's
// mean sphere.
func (s Strip) Least() float64 { return max(3, s.Half*min(0.6, s.interval()/2/s.Reach)) }

// Stroke is a focal line from end to end, as the patient sees the chart's lines.
func (s Strip) Stroke(l optics.FocalLine) (from, to [2]float64) {
	sin, cos := math.Sincos(optics.PatientAngle(l.Angle) * math.Pi / 180)
	x := s.X(l.Power)
	return [2]float64{x - s.Half*cos, s.Mid + s.Half*sin}, [2]float64{x + s.Half*cos, s.Mid - s.Half*sin}
}

// Tick is a mark of the ruler, in dioptres before the retina.
type Tick struct {
	Power float64
	Named bool // there is room for its figure
}

// Ticks are the marks of the ruler, of which only whole dioptres are named, and
// none so close to the retina that its own name has no room.
func (s Strip) Ticks(room float64) (out []Tick) {
	step := max(0.5, math.Ceil(s.Reach/4)/2)
	for d := -math.Floor(s.Reach/step) * step; d <= s.Reach; d += step {
		out = append(out, Tick{d, d == math.Round(d) && math.Abs(s.X(d)-s.middle) > room})
	}
	return out
}
