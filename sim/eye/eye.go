package eye

import "conoid/sim/optics"

// Eye is one model eye at rest.
type Eye struct {
	Needs       optics.Power // vergence at the cornea, in dioptres, that is in paraxial focus at ReferenceNm with accommodation relaxed
	Balance     optics.Power // residual, in dioptres, that its clinical correction leaves: aberrations and depth of focus have it see best there
	Pupil       float64      // diameter in millimetres
	Aberrations Aberrations
	Age         float64 // years, for the colour of the lens
	Veil        float64 // share of light scattered widely, 0 to 1
	Rho         float64 // Stiles-Crawford directionality per square millimetre; 0 for none
	X0, Y0      float64 // peak of the Stiles-Crawford function, millimetres in the examiner's view
	Grain       float64 // factor, 1 or more, by which the nervous system behind it is coarser than most people's; 0 is 1
}

// The Stiles-Crawford function of a typical fovea: directionality per square
// millimetre, and its peak, in millimetres towards the nose and upwards.
// Source: Applegate and Lakshminarayanan (1993), JOSA A 10:1611-1623.
const (
	TypicalRho  = 0.05
	PeakNasal   = 0.51
	PeakUpwards = 0.20
)

// New is a right eye of an age, in years, with a pupil, in millimetres, and
// aberrations of its own: those of [Typical], or what [Draw] takes from the
// norms. It scatters as eyes of its age do, has the Stiles-Crawford function of a
// typical fovea, and is in focus at a distance: set Needs for anything else. An
// eye with nothing but a pupil is Eye{Pupil: 4}.
func New(pupil, age float64, a Aberrations) Eye {
	return Eye{
		Pupil: pupil, Age: age, Aberrations: a, Veil: Veil(age),
		Rho: TypicalRho, X0: PeakNasal, Y0: PeakUpwards,
	}
}

// Residual is the error, in dioptres at ReferenceNm, that light of the given
// vergence at the cornea meets with: positive when its image lies in front of
// the retina. Accommodation, in dioptres, adds to it.
func (e Eye) Residual(atCornea optics.Power, accommodation float64) optics.Power {
	return atCornea.Sub(e.Needs).Add(optics.Sphere(accommodation))
}

// Left is the error that is left by the eye's own reckoning, in dioptres:
// Residual beyond Balance. Behind the clinical correction nothing is left.
func (e Eye) Left(atCornea optics.Power, accommodation float64) optics.Power {
	return e.Residual(atCornea, accommodation).Sub(e.Balance)
}
