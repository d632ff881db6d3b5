package patient

import "math"

// Tonus is accommodation that does not let go at once, in dioptres: what people
// who have long accommodated, or have a cramp, keep up with nothing to keep it up
// for. It counts only what fog can release. What nothing releases is no part of
// this simulation: without drops in the eye nobody can tell it from the eye, and a
// patient's error is what is found without them. Accommodation is never less than
// the tonus; where more is wanted the tonus is a part of it.
type Tonus struct{ Latent, Spasm float64 }

// How tonus moves, in seconds. That fog relaxes within half a minute is what
// studies of fogging describe; that a cramp takes longer, and lets go less, what
// the trade teaches. Figures are the project's own.
const (
	releaseTime  = 12.0
	crampTime    = 60.0
	rallyTime    = 5.0
	crampRelease = 0.3 // share of a cramp that fog releases
)

// Fog releases tonus where the back focal line is so far before the retina, in
// dioptres; with less there is no plain blur to escape from, and with more
// nothing is left to see (accommodation was found to stay relaxed up to about 2 D
// of fog: Optom Vis Sci 1987).
const (
	leastFog = 0.25
	mostFog  = 2.00
)

// Tense is the tonus of one who has just sat down.
func (f Focusing) Tense() Tonus {
	return Tonus{Latent: f.Release * f.Latent, Spasm: crampRelease * f.Spasm}
}

// Total is all of the tonus, dioptres, of an eye that can accommodate by so much.
func (t Tonus) Total(amplitude float64) float64 { return min(t.Latent+t.Spasm, amplitude) }

// tension is the tonus after some seconds of a demand. Fog releases it. Who has to
// accommodate tenses up again, by as much as it takes, and else it stays.
func (f Focusing) tension(was Tonus, to Demand, seconds float64) Tonus {
	switch {
	case to.Fog >= leastFog && to.Fog <= mostFog:
		return Tonus{was.Latent * math.Exp(-seconds/releaseTime), was.Spasm * math.Exp(-seconds/crampTime)}
	case to.Back > 0:
		most, share := f.Tense(), 1-math.Exp(-seconds/rallyTime)
		rise := func(was, most float64) float64 { return was + max(0, min(most, to.Back)-was)*share }
		return Tonus{rise(was.Latent, most.Latent), rise(was.Spasm, most.Spasm)}
	}
	return was
}
