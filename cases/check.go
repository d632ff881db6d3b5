package cases

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"conoid/sim/optics"
)

// Check looks for what a tutor may not have meant, and says it in plain words.
// Nothing in it makes a case unfit for use. It asks the simulation for the
// acuities, which takes a moment.
func Check(c *Case) []string { return slices.Concat(checkFile(c), checkMarking(c), checkCard(c)) }

// The fog, in dioptres, that is added to the objective sphere when the
// cylinder is out, and how far in front of the retina the back focal line
// should then be: common practice.
const (
	UsualFog = 0.50
	LeastFog = 0.25
	MostFog  = 1.00
)

// The rest is the project's choice, in dioptres: farOff and absurd are defocus
// equivalents of an objective result that misleads and of one that cannot be
// (the standard deviation of retinoscopy is objectiveM), Faintest is the weakest
// cylinder that shows on a dial.
const (
	farOff   = 1.25
	absurd   = 3.00
	Faintest = 0.50
)

// checkFile looks at what needs no simulation.
func checkFile(c *Case) []string {
	var out []string
	warn := func(is bool, format string, args ...any) {
		if is {
			out = append(out, fmt.Sprintf(format, args...))
		}
	}
	e := c.Of(c.Tested)
	d := e.Objective.Power().Sub(e.Error.Power())
	equivalent := math.Abs(d.M) + d.Astigmatism()
	warn(equivalent > farOff && equivalent <= absurd, "The objective result %v is %.2f D (defocus equivalent) from the error %v.", e.Objective, equivalent, e.Error)
	warn(equivalent > absurd, "The objective result %v is %.2f D (defocus equivalent) from the error %v: no objective method goes so far wrong.", e.Objective, equivalent, e.Error)
	warn(e.Error.Cyl < 0 && e.Error.Cyl > -Faintest, "A cylinder of %s D hardly shows on a dial.", signed(e.Error.Cyl))

	set := optics.TrialSet{PlusCylinders: c.Room.PlusCylinders}
	weakest, strongest := slices.Min(set.Spheres()), slices.Max(set.Spheres())
	warn(e.Error.Sphere < weakest || e.Error.Sphere+UsualFog > strongest,
		"The trial set's spheres, %s to %s D, do not reach the error with its fog.", signed(weakest), signed(strongest))
	largest := slices.Min(set.Cylinders())
	warn(e.Error.Cyl < largest, "The trial set's strongest cylinder is %s D, and the error has %s D.", signed(largest), signed(e.Error.Cyl))

	for _, err := range c.notMadeUp() {
		warn(true, "The objective result %v, which is in the frame at the start, cannot be made up: %v.", e.Objective, err)
	}

	back, _ := c.Fogged()
	const fogged = "From this objective result the usual fog of +0.50 D leaves the back focal line "
	warn(back < 0, fogged+"%.2f D behind the retina: the student has to notice, and add more.", -back)
	warn(back >= 0 && back < LeastFog, fogged+"only %.2f D in front of the retina: the student has to notice, and add more.", back)
	warn(back > MostFog, fogged+"%.2f D in front of the retina: all lines may look alike.", back)

	g := c.grade()
	warn(g != c.Level, "The case says level %d; by its difficulties (%s) it is level %d.", c.Level, listed(c.Difficulties()), g)
	return out
}

// notMadeUp tells which lenses of the objective result of the tested eye the
// trial set does not have, and why.
func (c *Case) notMadeUp() (out []error) {
	set := optics.TrialSet{PlusCylinders: c.Room.PlusCylinders}
	rx := c.Of(c.Tested).Objective
	for _, l := range []optics.Lens{optics.SphereOf(rx.Sphere), optics.CylinderOf(rx.Cyl, rx.Axis)} {
		if err := set.Check(l); l.Power != 0 && err != nil {
			out = append(out, err)
		}
	}
	return out
}

// Fogged is how far in front of the retina of the tested eye, in dioptres, the
// usual fog on the objective sphere puts the back focal line when the cylinder is
// out, and whether that is as it should be.
func (c *Case) Fogged() (back float64, enough bool) {
	e := c.Of(c.Tested)
	back = e.Objective.Sphere + UsualFog - e.Error.Sphere
	return back, back >= LeastFog && back <= MostFog
}

// signed writes a power in dioptres for people.
func signed(d float64) string { return strings.ReplaceAll(fmt.Sprintf("%+.2f", d), "-", "−") }

func listed(s []string) string {
	if len(s) == 0 {
		return "none"
	}
	return strings.Join(s, ", ")
}
