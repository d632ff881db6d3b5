package optics_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/optics"
)

// crossed is the over-refraction (sphere and cylinder in dioptres) that is
// found when a lens of the right cylinder power, the column, lies turned by
// the degrees of the row, and the distance of its axis from the right one.
//
// Source: IACLE Contact Lens Course, Module 3, first edition, Lecture 3.3
// Astigmatism, Appendix B, p. 127 (Williams 1993).
var crossed = []struct {
	turn    float64
	results [10][2]float64
	axisErr float64
}{
	{5, [10][2]float64{{.07, -.13}, {.09, -.17}, {.11, -.22}, {.13, -.26}, {.15, -.31}, {.17, -.35}, {.20, -.39}, {.22, -.44}, {.24, -.48}, {.26, -.52}}, 42.5},
	{10, [10][2]float64{{.13, -.26}, {.17, -.35}, {.22, -.43}, {.26, -.52}, {.30, -.61}, {.35, -.69}, {.39, -.78}, {.43, -.87}, {.48, -.96}, {.52, -1.04}}, 40},
	{15, [10][2]float64{{.19, -.39}, {.26, -.52}, {.32, -.65}, {.39, -.78}, {.45, -.91}, {.52, -1.04}, {.58, -1.16}, {.65, -1.29}, {.71, -1.42}, {.78, -1.55}}, 37.5},
	{20, [10][2]float64{{.26, -.51}, {.34, -.68}, {.43, -.86}, {.51, -1.03}, {.60, -1.20}, {.68, -1.37}, {.77, -1.54}, {.86, -1.71}, {.94, -1.88}, {1.03, -2.05}}, 35},
	{25, [10][2]float64{{.32, -.63}, {.42, -.85}, {.53, -1.06}, {.63, -1.27}, {.74, -1.48}, {.85, -1.69}, {.95, -1.90}, {1.06, -2.11}, {1.16, -2.32}, {1.27, -2.54}}, 32.5},
	{30, [10][2]float64{{.38, -.75}, {.50, -1.00}, {.63, -1.25}, {.75, -1.50}, {.88, -1.75}, {1.00, -2.00}, {1.13, -2.25}, {1.25, -2.50}, {1.38, -2.75}, {1.50, -3.00}}, 30},
	{35, [10][2]float64{{.43, -.86}, {.57, -1.15}, {.72, -1.43}, {.86, -1.72}, {1.00, -2.01}, {1.15, -2.29}, {1.29, -2.58}, {1.43, -2.87}, {1.58, -3.15}, {1.72, -3.44}}, 27.5},
	{40, [10][2]float64{{.48, -.96}, {.64, -1.29}, {.80, -1.61}, {.96, -1.93}, {1.12, -2.25}, {1.29, -2.57}, {1.45, -2.89}, {1.61, -3.21}, {1.77, -3.54}, {1.93, -3.86}}, 25},
	{45, [10][2]float64{{.53, -1.06}, {.71, -1.41}, {.88, -1.77}, {1.06, -2.12}, {1.24, -2.47}, {1.41, -2.83}, {1.59, -3.18}, {1.77, -3.54}, {1.94, -3.89}, {2.12, -4.24}}, 22.5},
}

var crossedCylinders = [10]float64{-.75, -1, -1.25, -1.5, -1.75, -2, -2.25, -2.5, -2.75, -3}

func TestPublishedCrossedCylinders(t *testing.T) {
	for _, right := range []float64{180, 20, 90, 145} {
		for _, row := range crossed {
			for i, cyl := range crossedCylinders {
				for _, side := range []float64{1, -1} {
					need := optics.Rx{Cyl: cyl, Axis: right}
					lies := optics.Rx{Cyl: cyl, Axis: optics.Axis(right + side*row.turn)}
					got := need.Power().Sub(lies.Power()).Rx()
					want := optics.Rx{row.results[i][0], row.results[i][1], optics.Axis(right - side*row.axisErr)}
					assertRx(t, want, got, printed2, 0.01, "%v turned by %g", need, side*row.turn)
				}
			}
		}
	}
}

// A cylinder that lies 30 degrees off leaves a cylinder as strong as itself,
// one that lies 10 degrees off about a third (same source): 2 C sin t.
func TestWhatATurnedCylinderLeaves(t *testing.T) {
	left := func(turn float64) float64 {
		need, lies := optics.Rx{Cyl: -2, Axis: 75}, optics.Rx{Cyl: -2, Axis: 75 + turn}
		return need.Power().Sub(lies.Power()).Rx().Cyl
	}
	assert.InDelta(t, -2, left(30), float)
	assert.InDelta(t, -2*0.347, left(10), 0.001)
}
