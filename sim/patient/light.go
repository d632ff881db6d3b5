package patient

import (
	"math"

	"conoid/sim/chart"
	"conoid/sim/eye"
	"conoid/sim/retina"
)

// Dim light is noisy light. A doubling of the luminance is worth 0.02 logMAR
// (Sheedy, Bailey and Raasch 1984, for charts of 80 to 320 cd/m^2), and
// logMAR rises by 0.12 with a doubling of the observer's noise: the noise
// goes with the sixth root of the light. usualPupil, in millimetres, and
// usualAge, in years, are those of the eyes that the noise was fitted for.
const (
	lightExponent = 0.02 / 0.12
	usualPupil    = 4.0
	usualAge      = 25.0
)

// dimness is the factor of the noise for the white light that reaches the
// retina: a small pupil and an old lens let less through.
func (l *Look) dimness() float64 {
	area := l.Pupil.Diameter / usualPupil
	return 1 / (math.Pow(area*area, lightExponent) * l.dimming(chart.White))
}

// From agesFrom years on the noise of the nervous system doubles in doublesIn
// years. It is fitted to one point, the best acuity of people of 78 (Elliott, Yang
// and Whitaker 1995).
const (
	agesFrom  = 50.0
	doublesIn = 37.0
)

// ageing is the factor of the noise of letters at an age in years.
func ageing(age float64) float64 { return math.Exp2(max(0, age-agesFrom) / doublesIn) }

// dimming is the factor by which a light is seen less clearly because of the
// lens that it passes.
func (l *Look) dimming(light chart.Light) float64 {
	d, ok := l.dim[light]
	if !ok {
		d = math.Pow(passed(light, l.Age)/passed(light, usualAge), lightExponent)
		l.dim[light] = d
	}
	return d
}

// passed is the share of a light that the lens of an age lets through, compared
// with the lens of eye.Transmittance's young adult.
func passed(light chart.Light, age float64) float64 {
	var sum float64
	l := retina.Filter(light)
	for i, nm := range l.Nm {
		sum += l.Weight[i] * eye.Transmittance(nm, age)
	}
	return sum
}
