package chart

import (
	"fmt"
	"math"
	"strconv"

	"conoid/sim/fact"
	"conoid/sim/optics"
)

// Labels says what is printed at the ends of a dial's lines.
type Labels uint8

// The ways to label a dial.
const (
	ByAxis   Labels = iota // the axis of the minus cylinder that the line asks for, 1 to 180
	ByHour                 // the hours of a clock face, at every 30 degrees
	NoLabels               // nothing
)

var labelNames = [...]string{ByAxis: "axis", ByHour: "hours", NoLabels: "none"}

// String is the word that ParseLabels reads.
func (l Labels) String() string {
	if int(l) < len(labelNames) {
		return labelNames[l]
	}
	return fmt.Sprintf("Labels(%d)", uint8(l))
}

// ParseLabels reads "axis", "hours" or "none".
func ParseLabels(s string) (Labels, error) {
	for l, name := range labelNames {
		if s == name {
			return Labels(l), nil
		}
	}
	return 0, fact.Refuse("chart.no-labels", "text", s, "labels", labelNames[:])
}

// LabelOf is the label, in (0, 180], of the line that the patient sees at the
// angle phi (degrees): the axis, in the examiner's notation, of the minus
// cylinder that is wanted when this line is the clearest. That axis lies
// across the line. It comes to 90 − phi.
func LabelOf(phi float64) float64 { return optics.Axis(optics.PatientAngle(phi) + 90) }

// AngleOf is the inverse of LabelOf: the angle in [0, 180), degrees, at which
// the patient sees the line with the given label. As a direction it points up,
// or to the right when the line is level.
func AngleOf(label float64) float64 {
	return math.Mod(optics.PatientAngle(optics.Axis(label)+90), 180)
}

// text is what is printed at the end of a spoke that points in the direction
// phi, a whole number of degrees in [0, 360); it may be nothing.
func (l Labels) text(phi int) string {
	switch {
	case l == ByAxis:
		return strconv.Itoa(int(math.Round(LabelOf(float64(phi)))))
	case l == ByHour && phi%30 == 0:
		return strconv.Itoa((14-phi/30)%12 + 1) // 3 o'clock is at the right, 12 on top
	}
	return ""
}

// mustAngleOf is AngleOf for the makers of charts, which cannot draw a label
// that is no number.
func mustAngleOf(label float64) float64 {
	angle := AngleOf(label)
	if math.IsNaN(angle) {
		panic(fmt.Sprintf("chart: no line is labelled %v", label))
	}
	return angle
}
