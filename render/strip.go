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

// Strip is the plan of a picture of where light of a residual is focused, to one
// scale. Along is vergence in dioptres: the light comes from the left, and more plus
// lies farther to the left, before the retina. Across is blur: the light of a
// meridian is as wide at a place as that place lies from its focus, in dioptres. So
// the light of either meridian has straight edges, all are equally steep, and they
// cross at the circle of least confusion; what the light of one point is at any
// place, and the patch that it makes of the retina, have the size that the edges show.
//
// Source: Sturm's conoid as in Rabbetts, Clinical Visual Optics, 4th ed. (2007),
// chapter 5, from memory; that blur goes with the error in dioptres is common
// practice (no source).
//
// Places are in the units of the box, y down.
type Strip struct {
	Residual    optics.Power // at the cornea, dioptres
	Front, Back optics.FocalLine
	Reach       float64 // dioptres from the retina to the end before it
	Behind      float64 // dioptres from the retina to the end behind it
	Mid         float64 // y of the axis of the beam
	Scale       float64 // half the width across of a dioptre of blur

	left, along float64 // x of the end before the retina, and the length of a dioptre
}

// Box is where a strip is drawn.
type Box struct {
	Left, Right, Top, Bottom float64
	Most                     float64 // half the width of the widest patch that has to fit; 0: as the height allows
	Reach, Behind            float64 // dioptres before and behind the retina; 0: as far as the lines ask for
}

// How the scale across is chosen: the wider bundle fills so much of the height at the
// retina, errors below smallest count as that, and no edge is steeper than slope, so
// that sections beside one another stay apart.
const (
	fills    = 0.92
	smallest = 0.5 // dioptres
	slope    = 0.31
)

// NewStrip plans a picture in a box.
func NewStrip(residual optics.Power, b Box) Strip {
	s := Strip{Residual: residual, Reach: b.Reach, Behind: b.Behind, Mid: (b.Top + b.Bottom) / 2, left: b.Left}
	s.Front, s.Back = residual.FocalLines()
	if s.Reach == 0 {
		s.Reach = max(1.5, ending(s.Front.Power))
	}
	if s.Behind == 0 {
		s.Behind = ending(-s.Back.Power)
	}
	s.along = (b.Right - b.Left) / (s.Reach + s.Behind)
	half := (b.Bottom - b.Top) / 2
	if b.Most > 0 {
		half = min(half, b.Most)
	}
	widest := max(math.Abs(s.Front.Power), math.Abs(s.Back.Power), smallest)
	s.Scale = min(fills*half/widest, slope*s.along)
	return s
}

// ending is where the ruler ends beyond a line: at the next half dioptre that is not
// whole, with room for the line's name, so that it does not move with every lens.
func ending(line float64) float64 { return max(0.5, math.Ceil(line-0.1)+0.5) }

// Ruler is where the ruler ends before and behind the retina, dioptres. The zero value is
// none yet.
type Ruler struct{ Reach, Behind float64 }

// excess is how much longer than a conoid asks for a ruler may be at either end, dioptres.
const excess = 2.0

// For is the ruler for a residual: the same as before for as long as the lines have room on it
// and it is not much too long, so that what moves when a lens is changed is the lines and not the
// retina.
func (r Ruler) For(residual optics.Power) Ruler {
	front, back := residual.FocalLines()
	return Ruler{kept(r.Reach, max(1.5, ending(front.Power))), kept(r.Behind, ending(-back.Power))}
}

// kept is an end of a ruler that is asked to be at wanted.
func kept(end, wanted float64) float64 {
	if end < wanted || end > wanted+excess {
		return wanted
	}
	return end
}

// X is where a vergence lies.
func (s Strip) X(d float64) float64 { return s.left + (s.Reach-d)*s.along }

// Power is the vergence that lies at x.
func (s Strip) Power(x float64) float64 { return s.Reach - (x-s.left)/s.along }

// Point reports whether both focal lines are drawn as one point.
func (s Strip) Point() bool { return Point(s.Residual) }

// Interval is the interval of Sturm, dioptres.
func (s Strip) Interval() float64 { return s.Front.Power - s.Back.Power }

// Wide is half the width, at a vergence, of the light that is focused in a line.
func (s Strip) Wide(l optics.FocalLine, at float64) float64 { return math.Abs(at-l.Power) * s.Scale }

// Section is what the light of a point is at a vergence: half its size along the
// front line and half of that along the back line. At the retina, 0, it is the patch
// that one point becomes.
func (s Strip) Section(at float64) (front, back float64) {
	return s.Wide(s.Back, at), s.Wide(s.Front, at)
}

// Least is the radius of the circle of least confusion; it stands at the residual's
// mean sphere.
func (s Strip) Least() float64 { return s.Wide(s.Front, s.Residual.M) }

// Runs is the direction of a focal line as the patient sees the chart's lines, degrees.
func Runs(l optics.FocalLine) float64 { return optics.PatientAngle(l.Angle) }

// Stroke is a focal line from end to end, as the patient sees the chart's lines.
func (s Strip) Stroke(l optics.FocalLine) (from, to [2]float64) {
	sin, cos := math.Sincos(Runs(l) * math.Pi / 180)
	x, half := s.X(l.Power), s.Interval()*s.Scale
	return [2]float64{x - half*cos, s.Mid + half*sin}, [2]float64{x + half*cos, s.Mid - half*sin}
}

// Edges are the edges of the light that is focused in a line, from before the retina
// to behind it: the one that comes from above, and the one from below.
func (s Strip) Edges(l optics.FocalLine) (above, below [3][2]float64) {
	for i, d := range []float64{s.Reach, l.Power, -s.Behind} {
		w := s.Wide(l, d)
		if i == 2 {
			w = -w
		}
		above[i], below[i] = [2]float64{s.X(d), s.Mid - w}, [2]float64{s.X(d), s.Mid + w}
	}
	return above, below
}

// Tick is a mark of the ruler, in dioptres before the retina.
type Tick struct {
	Power float64
	Size  int  // 2 at a whole dioptre, 1 at a half, 0 at a quarter
	Named bool // there is room for its figure
}

// Ticks are the marks of the ruler, of which as many are named as have so much room,
// and none so close to the retina that its own name has none.
func (s Strip) Ticks(room float64) (out []Tick) {
	const closest = 8 // marks stand no closer, in the units of the box
	step, named := s.step(closest, 0.25), s.step(room, 0.5)
	for n := -math.Floor(s.Behind / step); n <= math.Floor(s.Reach/step); n++ {
		d := n * step
		t := Tick{Power: d, Named: whole(d/named) && math.Abs(s.X(d)-s.X(0)) >= room}
		t.Named = t.Named && s.X(d) >= s.left+room/4 && s.X(d) <= s.X(-s.Behind)-room/4
		switch {
		case whole(d):
			t.Size = 2
		case whole(2 * d):
			t.Size = 1
		}
		out = append(out, t)
	}
	return out
}

// step is the smallest of the usual steps, from a first one on, that takes so much
// length.
func (s Strip) step(length, first float64) float64 {
	steps := []float64{0.25, 0.5, 1, 2, 5, 10}
	for _, d := range steps {
		if d >= first && d*s.along >= length {
			return d
		}
	}
	return steps[len(steps)-1]
}

func whole(v float64) bool { return v == math.Round(v) }
