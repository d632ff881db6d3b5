package chart

import (
	"math"

	"conoid/sim/optics"
)

// HalfAngle is the angle in degrees between the arrow's shaft and each of its
// limbs. Turned off the mark by a few degrees, the narrower arrow of 30
// degrees makes a larger ratio between the blurs of its limbs than one of 45;
// narrower still, the limbs would run into each other.
const HalfAngle = 30

// The arrow's lines are as wide as the fan's, and its limbs a little longer,
// so that they are judged alike. All in minutes of arc.
const (
	arrowWidth = 3.0 // with a point, for it is halved
	arrowTip   = 70  // from the middle of the chart, so that it points into the labels' ring
	limbLength = 40
	shaftEnd   = 28 // short of the limbs' ends: no blur of the shaft disturbs them
)

// Arrow is the chart of the arrow.
const Arrow Name = "arrow"

func arrow() Chart {
	return Chart{
		Name: Arrow, Kind: ArrowChart, Pointed: true,
		marks: func(h Hung) []Line { left, right := ArrowLimbs(h.Pointer); return []Line{left, right} },
		draw:  func(h Hung) Drawing { return drawArrow(h.Pointer) },
	}
}

// drawArrow is the arrow that points from the middle of the chart to the line
// with the given label (degrees), tip outward. It panics if the label is no
// number.
func drawArrow(label float64) Drawing {
	angle := mustAngleOf(label)
	shaft := bar(0, arrowWidth, shaftEnd, Point{X: shaftEnd / 2.0}).Shape()
	return onPaper(dialRadius, shaft.placed(angle, Point{}), arrowHead().placed(angle, Point{}))
}

// arrowHead is the outline of both limbs, for an arrow that points to the
// right. They meet in a sharp tip.
func arrowHead() Shape {
	sin, cos := math.Sincos(radians(HalfAngle))
	back := Point{-cos * limbLength, sin * limbLength} // along the upper limb
	side := Point{sin * arrowWidth / 2, cos * arrowWidth / 2}
	apex := apexOfCentrelines()
	outer := Point{apex + back.X + side.X, back.Y + side.Y}
	inner := Point{apex + back.X - side.X, back.Y - side.Y}
	crotch := Point{X: 2*apex - arrowTip}
	return ink([]Point{
		{X: arrowTip}, outer, inner, crotch,
		{inner.X, -inner.Y}, {outer.X, -outer.Y},
	})
}

// apexOfCentrelines is where the middles of the limbs meet, behind the tip.
func apexOfCentrelines() float64 { return arrowTip - arrowWidth/2/math.Sin(radians(HalfAngle)) }

// ArrowLimbs are the arrow's two limbs: the one that lies to the left of the
// shaft as the patient looks along it from tail to tip, and the one that lies
// to the right. Mind that the limb that lies to the right runs back and right
// from the tip, so that it leans to the left: its direction is the arrow's
// plus HalfAngle.
func ArrowLimbs(label float64) (left, right Line) {
	angle := mustAngleOf(label)
	return limb(angle, -HalfAngle), limb(angle, HalfAngle)
}

// limb runs back from the apex in the direction of angle + lean + 180.
func limb(angle, lean float64) Line {
	apex := polar(Point{}, apexOfCentrelines(), angle)
	direction := math.Mod(optics.Axis(angle+lean), 180)
	return bar(direction, arrowWidth, limbLength, polar(apex, -limbLength/2, angle+lean))
}
