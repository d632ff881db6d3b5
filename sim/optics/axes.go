package optics

import "math"

// MeanAxis is the mean of axes in degrees, taken in double angle because an
// axis and the same axis turned by 180 are one: the mean of 170 and 10 is 180.
// The result lies in (0, 180]. ok is false when there is no mean: no axes
// given, or axes that cancel, such as 90 and 180.
func MeanAxis(axes ...float64) (mean float64, ok bool) {
	var x, y float64
	for _, a := range axes {
		s, c := math.Sincos(2 * a * math.Pi / 180)
		x, y = x+c, y+s
	}
	if !(math.Hypot(x, y) > 1e-9*float64(len(axes))) {
		return 0, false
	}
	return axisOf(x, y), true
}

// AxisDifference is the turn from axis a to axis b in degrees, the short way:
// counter-clockwise positive, in (-90, 90].
func AxisDifference(a, b float64) float64 {
	d := Axis(b - a)
	if d > 90 {
		d -= 180
	}
	return d
}

// axisOf is half the angle of the double-angle vector (x, y), as an axis in
// degrees in (0, 180], rounded to 1e-9 so that 0 and 180 cannot be confused by
// the last bit of a float.
func axisOf(x, y float64) float64 {
	return Axis(tidy(math.Atan2(y, x) * 90 / math.Pi))
}
