package method

import (
	"conoid/sim/chart"
	"conoid/sim/optics"
)

// Middle is the label in the middle of lines that look alike, which stand at
// these angles, in degrees, in the patient's view: the axis of the minus
// cylinder. Several lines that are equally clear stand for the middle of the
// group (a text of clinical procedures; taught so). ok is false when there is no
// middle: no lines, or lines across each other.
func Middle(lines []float64) (label float64, ok bool) {
	labels := make([]float64, len(lines))
	for i, phi := range lines {
		labels[i] = chart.LabelOf(phi)
	}
	return optics.MeanAxis(labels...)
}
