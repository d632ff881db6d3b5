package method

import "math"

// axisResidual is the crossed cylinder, in dioptres, that an axis within its
// tolerance may leave.
const axisResidual = 0.25

// AxisTolerance is the turn, in degrees, that leaves a crossed cylinder of
// 0.25 D when a cylinder of cyl dioptres is worn: 2 C sin t = 0.25 (the basis of
// the axis tolerances of ANSI Z80.1; Torgersen (2006)). It is 90, any axis at
// all, for a cylinder too weak to leave so much.
func AxisTolerance(cyl float64) float64 {
	sin := axisResidual / (2 * math.Abs(cyl))
	if !(sin < 1) {
		return 90
	}
	return math.Asin(sin) * 180 / math.Pi
}
