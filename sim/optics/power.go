// Package optics holds lenses, vergences and the trial frame.
//
// An [Rx] is what people write, sphere, cylinder and axis; [ParseRx] reads one. A
// [Power] is the same as a power vector, which can be added, taken away and, by
// [Power.Travel], carried from one place to another. A [Lens] is a piece of a
// [TrialSet], and a [Frame] holds some: [Frame.Prescription] is what is marked on
// them, [Frame.AtCornea] what light really meets the eye.
//
// All powers and vergences are in dioptres, all distances in metres, all
// axes in degrees in standard notation (ISO 8429): counter-clockwise from the
// right as an examiner who faces the patient sees them, 0 < axis <= 180.
// [PatientAngle] turns them into the patient's view.
package optics

import "math"

// Power is a sphero-cylindrical power or vergence as a power vector, in
// dioptres: the spherical equivalent M and the two crossed-cylinder
// components, J0 (axes 180 and 90) and J45 (axes 45 and 135).
// Thin lenses in contact add component by component.
//
// Source: Thibos, Wheeler and Horner (1997), Optom Vis Sci 74:367-375.
type Power struct{ M, J0, J45 float64 }

// Add returns p + q.
func (p Power) Add(q Power) Power { return Power{p.M + q.M, p.J0 + q.J0, p.J45 + q.J45} }

// Sub returns p - q.
func (p Power) Sub(q Power) Power { return Power{p.M - q.M, p.J0 - q.J0, p.J45 - q.J45} }

// Scale returns p with every component multiplied by k.
func (p Power) Scale(k float64) Power { return Power{k * p.M, k * p.J0, k * p.J45} }

// Norm is the blur strength |u| = sqrt(M^2 + J0^2 + J45^2), in dioptres.
func (p Power) Norm() float64 { return math.Sqrt(p.M*p.M + p.J0*p.J0 + p.J45*p.J45) }

// Astigmatism is the length of the astigmatic part, sqrt(J0^2 + J45^2): half
// the cylinder, in dioptres.
func (p Power) Astigmatism() float64 { return math.Hypot(p.J0, p.J45) }

// At is the power along the meridian at t degrees, in dioptres.
func (p Power) At(t float64) float64 {
	s, c := math.Sincos(2 * t * math.Pi / 180)
	return p.M + p.J0*c + p.J45*s
}

// Sphere is a spherical power of d dioptres.
func Sphere(d float64) Power { return Power{M: d} }
