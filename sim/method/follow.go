package method

import (
	"math"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Way is where an answer sends what it was about.
type Way int

// The ways: on to less, no further, and on to more.
const (
	Less Way = -1
	Stay Way = 0
	More Way = 1
)

// What follows from an answer is common practice (no source); each function
// reports as well whether the answer says anything of the matter.

// Turn is where an answer about the limbs of the arrow sends the axis: on to a
// greater label, to a smaller one, or nowhere. The arrow is turned away from the
// clearer limb, towards the blurred one; labels rise to the right.
func Turn(k patient.Kind) (Way, bool) {
	switch k {
	case patient.Left:
		return More, true
	case patient.Right:
		return Less, true
	case patient.Alike, patient.Unsure:
		return Stay, true
	}
	return Stay, false
}

// Strengthen is where an answer about the blocks sends the minus cylinder: on to a
// stronger one, back to a weaker one, or nowhere.
func Strengthen(k patient.Kind) (Way, bool) {
	switch k {
	case patient.Parallel:
		return More, true
	case patient.Perpendicular:
		return Less, true
	case patient.Alike, patient.Unsure:
		return Stay, true
	}
	return Stay, false
}

// NearOblique is how far, in degrees, a line that stands out on a dial may lie from
// 45 degrees to the axis of the cylinder in the frame and still say that the axis is
// off; nearer to the axis, or to across it, it is about the power. Crossed cylinders
// of nearly one power leave astigmatism at 45 degrees to both; the width is the
// project's choice.
const NearOblique = 20

// TowardLine is where a line that stands out through a cylinder sends its axis:
// towards the label of the line, when that lies near 45 degrees from it; a line along
// the axis or across it leaves it.
func TowardLine(axis, label float64) Way {
	switch off := optics.AxisDifference(axis, label); {
	case math.Abs(math.Abs(off)-45) > NearOblique:
		return Stay
	case off > 0:
		return More
	}
	return Less
}

// Accept is whether a comparison leaves the eye with a change of so many dioptres
// of sphere, or sends it back: more plus is kept unless it is worse, less plus
// only if it is clearer, and not for letters that are smaller and blacker.
func Accept(k patient.Kind, plus float64) (accept, ok bool) {
	switch k {
	case patient.Better:
		return true, true
	case patient.Worse:
		return false, true
	case patient.Same, patient.Smaller, patient.Unsure, patient.Alike:
		return plus > 0, true
	}
	return false, false
}

// Colour is where the colours send the sphere: to less plus when red is the
// clearer, to more when green is.
func Colour(k patient.Kind) (Way, bool) {
	switch k {
	case patient.RedClearer:
		return Less, true
	case patient.GreenClearer:
		return More, true
	case patient.Alike, patient.Unsure:
		return Stay, true
	}
	return Stay, false
}
