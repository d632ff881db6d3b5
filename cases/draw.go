package cases

import (
	"fmt"
	"math"
	"math/rand/v2"

	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// Draw is a person at random: the same for the same seed and level. Levels 1
// to 4 draw until the person is of that level; level 0 takes the first, so
// that the draws together are the population below. Any other level panics.
//
// Name, trade, story and ID are drawn apart from the eyes, so that nobody works
// one back from the other. The record card is of these eyes, and who has a seed
// has the eyes: one that nobody is to guess has to be any of 64 bits.
func Draw(seed uint64, level int) *Case {
	if level < 0 || level > Levels {
		panic(fmt.Sprintf("cases: Draw: level %d; allowed is 0 for any, or 1 to %d", level, Levels))
	}
	c := drawWith(rand.New(rand.NewPCG(seed, caseStream)), level, drawCylinder)
	people := peopleOf(seed, "draw")
	c.ID = fmt.Sprintf("drawn-%016x", people.Uint64())
	dress(people, c, nil)
	return c
}

// drawWith draws until a person is of a level, 0 for any; cylinder draws a power. They have
// no words yet.
func drawWith(r *rand.Rand, level int, cylinder func(*rand.Rand) float64) *Case {
	for {
		c := drawCase(r, cylinder)
		if level == 0 || c.grade() == level {
			c.Level = c.grade()
			drawBestSpheres(r, c)
			return c
		}
	}
}

func drawCase(r *rand.Rand, cylinder func(*rand.Rand) float64) *Case {
	c := blank("")
	c.Age = youngest + math.Floor(r.Float64()*(oldest-youngest+1))
	setManner(c, drawManner(r))
	if r.IntN(2) == 1 {
		c.Tested = sitting.Left
	}
	e := c.Of(c.Tested)
	e.Error = drawError(r, c.Age, cylinder)
	e.Objective = drawObjective(r, e.Error)
	e.Aberrations = Aberrations{From: Drawn, Seed: 1 + r.Uint64N(1<<31)}
	fellow := c.Of(c.Tested.Other())
	*fellow = e.mirrored()
	fellow.Error = drawFellow(r, fellow.Error)
	fellow.Objective = drawObjective(r, fellow.Error)
	for range 3 {
		r.Uint64() // which once drew the person, so that a seed keeps its eyes
	}
	return c
}

// The ages, in years, are those of the prescriptions that Young and others
// counted; that all are equally likely is the project's choice.
const (
	youngest = 8
	oldest   = 70
)

// cylinders are the shares of eyes with a cylinder of each power.
//
// Source: Young, Sulley and Hunt (2011), Eye & Contact Lens 37(1), 11,624
// prescriptions in the United Kingdom: 0.75 D or more in 35.7 % of eyes, 1.00 D or more in 23.4 %,
// 1.50 D or more in 10.8 %, 2.00 D or more in 5.6 %. How a class is divided
// among its powers is the project's choice.
var cylinders = []struct{ power, share float64 }{
	{0, 0.370}, {0.25, 0.120}, {0.50, 0.153},
	{0.75, 0.123},
	{1.00, 0.073}, {1.25, 0.053},
	{1.50, 0.030}, {1.75, 0.022},
	{2.00, 0.056}, // and more: see drawCylinder
}

// From 2.00 D each quarter of a dioptre more has so many eyes of the one
// before, up to the largest. The project's choice.
const (
	tail            = 0.75
	largestCylinder = 5
)

func drawCylinder(r *rand.Rand) float64 {
	x := r.Float64()
	for _, c := range cylinders {
		if x -= c.share; x < 0 {
			if c.power < 2 {
				return c.power
			}
			return drawTail(r, c.power)
		}
	}
	return 0
}

// drawTail is a power from one on.
func drawTail(r *rand.Rand, from float64) float64 {
	for from < largestCylinder && r.Float64() < tail {
		from += 0.25
	}
	return from
}

// obliqueShare is the share of oblique axes among cylinders of 0.75 D or more,
// at any age. Source: Young and others (2011), 35.7 % less 15.3 % with and
// 14.5 % against the rule.
const obliqueShare = 0.165

// withTheRule is the share of axes with the rule at an age in years, oblique
// ones counted: in the youngest all that are not oblique, in the oldest none,
// and a straight line between, which is the project's choice. It meets Young
// and others (2011), with and against the rule 15.3 to 14.5, and comes near to
// Leung and others (2012), a clinic in Hong Kong, 92.6 % with the rule at 3 to 10 years
// and 79.7 % against it over 60.
func withTheRule(age float64) float64 {
	return (1 - obliqueShare) * (oldest - age) / (oldest - youngest)
}

// drawAxis is a whole degree from 1 to 180. The spread around 180 and 90 is
// the project's choice; with and against the rule end 30 degrees away.
func drawAxis(r *rand.Rand, age float64) float64 {
	x := r.Float64()
	if x < obliqueShare {
		away := 31 + float64(r.IntN(29))
		return optics.Axis(float64(90*r.IntN(2)) + away)
	}
	middle := 90.0
	if x < obliqueShare+withTheRule(age) {
		middle = 180
	}
	return optics.Axis(middle + min(max(math.Round(10*r.NormFloat64()), -30), 30))
}

// The shares of myopes (spherical equivalent −0.75 D or less) and hyperopes
// (+1.00 D or more), straight lines between these ages. They are the project's
// choice, made so that over all ages they come to 30.6 % and 25.2 %, and to
// 47 % myopes at 25 to 29 years.
//
// Source: Williams and others (2015), the European Eye Epidemiology study, 61,946
// adults; the two limits are from memory.
var (
	myopes    = [][2]float64{{8, 0.15}, {27, 0.47}, {70, 0.15}}
	hyperopes = [][2]float64{{8, 0.05}, {70, 0.45}}
)

// drawEquivalent is a spherical equivalent in dioptres. How far myopes and
// hyperopes go beyond their limits is the project's choice.
func drawEquivalent(r *rand.Rand, age float64) float64 {
	myope, hyperope := between(myopes, age), between(hyperopes, age)
	switch x := r.Float64(); {
	case x < myope:
		return -0.75 - min(2*r.ExpFloat64(), 9)
	case x < myope+hyperope:
		return 1 + min(r.ExpFloat64(), 5)
	}
	return -0.60 + 1.45*r.Float64()
}

// drawError is an error in steps of a quarter of a dioptre. Rounding the sphere
// never takes a myope or a hyperope back over the limit.
func drawError(r *rand.Rand, age float64, cylinder func(*rand.Rand) float64) optics.Rx {
	rx := optics.Rx{Cyl: -cylinder(r) + 0}
	if rx.Cyl != 0 {
		rx.Axis = drawAxis(r, age)
	}
	m := drawEquivalent(r, age)
	quarters := (m - rx.Cyl/2) * 4
	switch {
	case m <= -0.75:
		quarters = math.Floor(quarters)
	case m >= 1:
		quarters = math.Ceil(quarters)
	}
	rx.Sphere = math.Round(quarters)/4 + 0
	return rx
}

// The standard deviations, in dioptres, of an objective result's spherical
// equivalent and of each crossed-cylinder component. Source of the first:
// Jorge and others (2005), Optom Vis Sci 82(1), retinoscopy less subjective
// result. The second is the project's choice.
const (
	objectiveM = 0.33
	objectiveJ = 0.15
)

func drawObjective(r *rand.Rand, truth optics.Rx) optics.Rx {
	p := truth.Power()
	p.M += objectiveM * r.NormFloat64()
	p.J0 += objectiveJ * r.NormFloat64()
	p.J45 += objectiveJ * r.NormFloat64()
	rx := p.Rx().Round(0.25)
	if rx.Cyl != 0 {
		rx.Axis = optics.Axis(5 * math.Round(rx.Axis/5))
	}
	return rx
}

// drawBestSpheres draws what the record card says. It comes last, so that it changes
// nothing of the person.
func drawBestSpheres(r *rand.Rand, c *Case) {
	for i := range c.Eyes {
		found := foundSphere(r, c.Eyes[i].Error)
		c.Eyes[i].BestSphereLens = &found
	}
}

// drawFellow makes the mirror image of an eye a little different, as the two
// eyes of a person are. How much is the project's choice.
func drawFellow(r *rand.Rand, rx optics.Rx) optics.Rx {
	quarter := func() float64 { return math.Round(r.NormFloat64()) / 4 }
	rx.Sphere += quarter()
	if rx.Cyl < -0.25 {
		rx.Cyl += min(max(quarter(), -0.25), 0.25)
		rx.Axis = optics.Axis(rx.Axis + math.Round(5*r.NormFloat64()))
	}
	return rx
}

// drawManner is a manner; how common each is is the project's choice.
func drawManner(r *rand.Rand) string {
	switch x := r.Float64(); {
	case x < 0.25:
		return "keen"
	case x < 0.75:
		return "everyday"
	case x < 0.875:
		return "scattered"
	}
	return "obliging"
}

// between is the straight line between points (x, y) in order of x.
func between(points [][2]float64, x float64) float64 {
	i := 0
	for i < len(points)-2 && x > points[i+1][0] {
		i++
	}
	a, b := points[i], points[i+1]
	return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
}
