package retina

import (
	"fmt"
	"math"

	"conoid/sim/eye"
	"conoid/sim/optics"
)

// Pupil is all that decides how a point of light is imaged.
type Pupil struct {
	Diameter float64      // millimetres
	Residual optics.Power // dioptres at the cornea at eye.ReferenceNm; positive when the image lies in front of the retina; examiner's axes
	Zernike  []float64    // aberrations in micrometres by OSA single index from 0, at Diameter, in the examiner's view; all are used; nil for none
	Rho      float64      // Stiles-Crawford directionality, per square millimetre; 0 for none
	X0, Y0   float64      // its peak, millimetres in the examiner's view
	Veil     float64      // share of light scattered into a wide veil, 0 to 1
}

// The limits of a Pupil: narrower than a pinhole, wider than any human pupil, and
// stronger than any lens before any eye.
const (
	minDiameter = 0.5 // millimetres
	maxDiameter = 9
	maxResidual = 100 // dioptres
)

// Check tells what is wrong with a pupil that no image can be made of.
func (p Pupil) Check() error {
	if err := finite(p.Residual.M, p.Residual.J0, p.Residual.J45, p.X0, p.Y0); err != nil {
		return err
	}
	if err := finite(p.Zernike...); err != nil {
		return err
	}
	switch {
	case !(p.Diameter >= minDiameter && p.Diameter <= maxDiameter):
		return fmt.Errorf("retina: pupil of %v mm; allowed are %v to %v mm", p.Diameter, minDiameter, maxDiameter)
	case p.Residual.Norm() > maxResidual:
		return fmt.Errorf("retina: residual of %.4g D; allowed are up to %v D", p.Residual.Norm(), maxResidual)
	case !(p.Rho >= 0 && p.Rho <= 1):
		return fmt.Errorf("retina: directionality of %v per mm²; allowed are 0 to 1", p.Rho)
	case !(p.Veil >= 0 && p.Veil <= 1):
		return fmt.Errorf("retina: veil of %v; allowed are 0 to 1", p.Veil)
	case len(p.Zernike) > eye.MaxIndex+1:
		return fmt.Errorf("retina: %d Zernike coefficients; allowed are %d (order %d)", len(p.Zernike), eye.MaxIndex+1, eye.MaxOrder)
	}
	return nil
}

func finite(values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("retina: %v in a pupil where a finite number is needed", v)
		}
	}
	return nil
}

// view is a pupil as the patient looks out through it: millimetres, x to the
// patient's right and y up.
type view struct {
	radius float64
	w      surface // wavefront at eye.ReferenceNm
	rho    float64
	x0, y0 float64
}

// seen turns a pupil from the examiner's view into the patient's. Right and
// left change places here and nowhere else in the package.
func (p Pupil) seen() view {
	w := zernike(p.Zernike, p.Diameter/2).mirrored()
	w.add(defocus(p.Residual.SeenByPatient()))
	return view{radius: p.Diameter / 2, w: w, rho: p.Rho, x0: -p.X0, y0: p.Y0}
}

// in is the pupil in light of a wavelength (nanometres): the eye's dispersion
// adds to the residual.
func (v view) in(nm float64) view {
	v.w.add(defocus(optics.Sphere(eye.ChromaticFocus(nm))))
	return v
}

// decay is the rate at which the light that counts falls off with the square
// of the distance from the peak: efficiency exp(-decay d^2), d in millimetres.
func (v view) decay() float64 { return v.rho * math.Ln10 }
