package eye

import "math"

// straylight is the share of scattered light in a mean eye, by which scatter
// grows with age. Source: IJspeert and others (1993), p for a mean Caucasian
// eye.
const straylight = 0.142

// Veil is the share of light, 0 to 1, that the ageing media of an eye scatter
// widely in excess of a young eye, at an age in years. The contrast of all
// that is seen falls by it. Source: IJspeert and others (1993), the age term
// 1/(1 + p (age/70)^4).
func Veil(age float64) float64 {
	return 1 - 1/(1+straylight*math.Pow(age/70, 4))
}

// Hazy is the eye with media that scatter so much more of the light, 0 to 1, than
// those of its age do.
func (e Eye) Hazy(share float64) Eye {
	e.Veil += share * (1 - e.Veil)
	return e
}

// Haze is the share of light that the eye scatters beyond what its age does; see
// [Eye.Hazy].
func (e Eye) Haze() float64 {
	usual := Veil(e.Age)
	return max(0, (e.Veil-usual)/(1-usual))
}

// lensDensity is the part of the lens's optical density that grows with age,
// at 480 to 650 nm in steps of 10 nm, at 32 years. From memory: Pokorny,
// Smith and Lutze (1987), Appl Opt 26:1437.
var lensDensity = [...]float64{
	.207, .187, .167, .147, .133, .120, .107, .093, .080,
	.067, .053, .040, .033, .027, .020, .013, .007, 0,
}

// Transmittance is how much light of a wavelength (nanometres) the lens of an
// eye lets through, compared with the lens of a young adult of 32 years.
func Transmittance(nm, age float64) float64 {
	growth := 0.02 * (age - 32)
	if age > 60 {
		growth = 0.56 + 0.0667*(age-60)
	}
	x := min(max((nm-480)/10, 0), float64(len(lensDensity)-1))
	i := min(int(x), len(lensDensity)-2)
	d := lensDensity[i] + (x-float64(i))*(lensDensity[i+1]-lensDensity[i])
	return math.Pow(10, -growth*d)
}
