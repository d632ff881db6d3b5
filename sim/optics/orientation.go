package optics

import "math"

// PatientAngle turns an angle of standard notation (degrees, as the examiner
// sees it) into the angle at which the patient sees the same line (degrees,
// counter-clockwise from the patient's right), and back: it is its own
// inverse. The examiner and the patient face each other, so that right and
// left change places while up stays up. This is the only place where the
// program turns around. The result is in (0, 180].
func PatientAngle(t float64) float64 { return Axis(180 - t) }

// Axis folds any angle in degrees into the range of an axis, (0, 180].
func Axis(t float64) float64 {
	t = math.Mod(t, 180)
	if t <= 0 {
		t += 180
	}
	return t
}

// SeenByPatient is the power as it lies in the patient's view: the same lens,
// with its axes mirrored as PatientAngle mirrors them.
func (p Power) SeenByPatient() Power { return Power{p.M, p.J0, -p.J45} }
