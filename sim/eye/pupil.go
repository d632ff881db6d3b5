package eye

import "math"

// MinPupil and MaxPupil are the diameters, in millimetres, that the model
// computes: smaller ones occur only behind a pinhole.
const (
	MinPupil = 2
	MaxPupil = 8
)

// PupilDiameter is the light-adapted pupil, in millimetres, for a luminance
// (cd/m^2) over a field of so many square degrees, seen by one eye or both,
// at an age in years (20 to 83; younger patients are taken as 20).
//
// Source: Watson and Yellott (2012), J Vision 12(10):12, the unified formula.
func PupilDiameter(luminance, area float64, bothEyes bool, age float64) float64 {
	x := luminance * area
	if !bothEyes {
		x *= 0.1
	}
	p := math.Pow(x/846, 0.41)
	d := 7.75 - 5.75*p/(p+2)
	return d + (min(max(age, 20), 83)-28.58)*(0.021323-0.0095623*d)
}

// The lit field of the examination room: a chart of the least luminance that
// BS 4274-1 allows (120 cd/m^2), and about 30 by 30 degrees of room lit by it
// (the project's choice, which gives a young adult a pupil of 4 to 4.5 mm).
const (
	ChartLuminance = 120
	RoomArea       = 900
)
