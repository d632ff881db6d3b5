package optics

import "math"

// FocalLine is one of the two lines of the conoid of Sturm.
type FocalLine struct {
	Power float64 // where it lies: the vergence, in dioptres, of the meridian that is focused there
	Angle float64 // the direction that the line runs in, degrees in (0, 180] of the same view as the power
}

// FocalLines are the two focal lines of light of vergence p: the front one, of
// the meridian of most plus, and the back one, of the meridian of least plus. A
// meridian is focused in a line across it. For a residual, the line with a
// positive power lies in front of the retina. Without astigmatism both are one
// point, and the angles say nothing.
//
// Source: the interval of Sturm as in Rabbetts, Clinical Visual Optics, 4th ed.
// (2007), chapter 5, from memory.
func (p Power) FocalLines() (front, back FocalLine) {
	most := Axis(math.Atan2(p.J45, p.J0) * 90 / math.Pi) // meridian of most plus, degrees
	a := p.Astigmatism()
	return FocalLine{p.M + a, Axis(most + 90)}, FocalLine{p.M - a, most}
}
