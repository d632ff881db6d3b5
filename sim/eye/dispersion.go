// Package eye is the model eye: its refraction, colour, pupil, aberrations,
// scatter and amplitude of accommodation.
//
// [New] makes an [Eye], with the [Aberrations] that [Typical] or [Draw] give;
// [PupilDiameter] and [Amplitude] are what age makes of it. [Eye.Residual] is what
// error is left for light that meets it.
//
// Wavefront coefficients follow the OSA standard (ISO 24157): micrometres,
// right-handed axes as an examiner who faces the patient sees them, x to the
// right and y up.
package eye

// ReferenceNm is the wavelength, in nanometres, at which a refraction is
// meant: the one at which the duochrome of a typical adult is neutral.
// From memory (a value the handbooks give as about 570 nm).
const ReferenceNm = 570

// The chromatic eye: n(L) = nA + nB/(L - nC), L in micrometres, behind one
// refracting surface. Source: Thibos, Ye, Zhang and Bradley (1992), Appl Opt
// 31:3594-3600.
const (
	chromaticA      = 1.320535
	chromaticB      = 0.004685
	chromaticC      = 0.214102
	chromaticD      = 1.333   // index at 589 nm
	chromaticRadius = 5.55e-3 // of the refracting surface, in metres
)

func chromaticIndex(nm float64) float64 { return chromaticA + chromaticB/(nm/1000-chromaticC) }

// ChromaticFocus is the power, in dioptres, that the eye has more at a
// wavelength (nanometres, 380 to 780) than at ReferenceNm: positive, too
// strong, at short wavelengths.
func ChromaticFocus(nm float64) float64 {
	return (chromaticIndex(nm) - chromaticIndex(ReferenceNm)) / (chromaticD * chromaticRadius)
}
