package cases

import (
	"math"

	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Levels is the number of levels of difficulty.
const Levels = 4

// Difficulties names what makes the tested eye of c hard to refract on a dial,
// in a fixed order. The kinds of difficulty are common knowledge of the trade;
// where each begins is the project's choice.
func (c *Case) Difficulties() []string {
	e := c.Of(c.Tested)
	var out []string
	add := func(is bool, what string) {
		if is {
			out = append(out, what)
		}
	}
	add(e.Error.Cyl > -0.75, "a cylinder that hardly shows, or none")
	add(e.Error.Cyl < -3, "a large cylinder")
	add(e.Error.Cyl != 0 && oblique(e.Error.Axis), "an oblique axis")
	add(e.Error.SE() >= 0.5 && c.amplitude(e) >= 4, "a hyperope who can accommodate")
	add(c.pupil(e) < 3, "a small pupil")
	add(unreliable(c.Manner), "answers that cannot be relied on")
	add(misleads(e.Objective, e.Error), "an objective result that misleads")
	return out
}

// grade is the level of c by its difficulties.
func (c *Case) grade() int { return min(1+len(c.Difficulties()), Levels) }

// oblique tells whether an axis is more than 30 degrees from 180 and from 90,
// as is common practice.
func oblique(axis float64) bool {
	return math.Abs(optics.AxisDifference(180, axis)) > 30 && math.Abs(optics.AxisDifference(90, axis)) > 30
}

func unreliable(m patient.Manner) bool {
	return m.Noise >= 0.1 || m.Lapse >= 0.05 || m.Suggestible >= 0.3
}

// misleads tells whether a result is 0.75 D or more from the truth in its
// spherical equivalent or in its cylinder, as a cylinder across the two.
func misleads(objective, truth optics.Rx) bool {
	d := objective.Power().Sub(truth.Power())
	const most = 0.75 - 1e-9
	return math.Abs(d.M) >= most || 2*d.Astigmatism() >= most
}
