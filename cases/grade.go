package cases

import (
	"math"
	"slices"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Levels is the number of levels of difficulty.
const Levels = 4

// Difficulty is what makes an eye hard to refract on a dial. The kinds are
// common knowledge of the trade; where each begins is the project's choice.
type Difficulty string

// The difficulties.
const (
	FaintCylinder Difficulty = "faint-cylinder" // weaker than 0.75 D, or none
	LargeCylinder Difficulty = "large-cylinder" // stronger than 3 D
	ObliqueAxis   Difficulty = "oblique-axis"   // see oblique
	Accommodates  Difficulty = "accommodates"   // a hyperope of 0.50 D or more, with an amplitude of 4 D or more
	SmallPupil    Difficulty = "small-pupil"    // below 3 mm
	Unreliable    Difficulty = "unreliable"     // answers that cannot be relied on
	Misleading    Difficulty = "misleading"     // an objective result that is far from the truth
)

// AllDifficulties are all kinds, in the order of Difficulties.
func AllDifficulties() []Difficulty {
	return []Difficulty{FaintCylinder, LargeCylinder, ObliqueAxis, Accommodates, SmallPupil, Unreliable, Misleading}
}

// Has reports whether a difficulty is one of those of c.
func (c *Case) Has(d Difficulty) bool { return slices.Contains(c.Difficulties(), d) }

// largeFrom is the cylinder, in dioptres, beyond which one is large.
const largeFrom = 3

// Name is the ID of its word.
func (d Difficulty) Name() string { return "difficulty." + string(d) }

// Difficulties is what makes the tested eye of c hard to refract, in a fixed
// order.
func (c *Case) Difficulties() []Difficulty {
	e := c.Of(c.Tested)
	var out []Difficulty
	add := func(is bool, what Difficulty) {
		if is {
			out = append(out, what)
		}
	}
	add(e.Error.Cyl > -0.75, FaintCylinder)
	add(e.Error.Cyl < -largeFrom, LargeCylinder)
	add(e.Error.Cyl != 0 && oblique(e.Error.Axis), ObliqueAxis)
	add(e.Error.SE() >= 0.5 && made{c}.amplitude(e) >= 4, Accommodates)
	add(made{c}.pupil(e) < 3, SmallPupil)
	add(unreliable(c.Manner), Unreliable)
	add(misleads(e.Objective, e.Error), Misleading)
	return out
}

// grade is the level of c by its difficulties.
func (c *Case) grade() int { return min(1+len(c.Difficulties()), Levels) }

// oblique reports whether an axis is more than 30 degrees from 180 and from 90,
// as is common practice.
func oblique(axis float64) bool {
	return math.Abs(optics.AxisDifference(180, axis)) > 30 && math.Abs(optics.AxisDifference(90, axis)) > 30
}

func unreliable(m patient.Manner) bool {
	return m.Noise >= 0.1 || m.Lapse >= 0.05 || m.Suggestible >= 0.3
}

// misleads reports whether a result is 0.75 D or more from the truth in its
// spherical equivalent or in its cylinder, as a cylinder across the two.
func misleads(objective, truth optics.Rx) bool {
	d := objective.Power().Sub(truth.Power())
	const most = 0.75 - 1e-9
	return math.Abs(d.M) >= most || 2*d.Astigmatism() >= most
}
