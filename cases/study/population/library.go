package population

import (
	"math"

	"conoid/cases"
	"conoid/sim/method"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// scattered is the manner whose answers bound the expert less.
const scattered = "scattered"

// Suits reports whether the method works on a person as it should, to teach it on.
func (w Works) Suits(c *cases.Case) bool {
	cylinder, check := CylinderBound, CheckBound
	if c.MannerName == scattered {
		cylinder, check = ScatteredCylinder, ScatteredCheck
	}
	const rounding = 1e-9
	arrow := w.Arrow <= ArrowBound || c.Of(c.Tested).Error.MinusCyl().Cyl > -2*method.FaintestCylinder
	return math.Abs(w.Cylinder) <= cylinder && w.Check >= check-rounding && w.Blocks <= BlocksBound && arrow
}

// Refused is how many seeds of aberrations were refused before those that the cases
// of the library have: the first is the CRC-32 of the name of the file, of which
// the last five digits count, and the next ones follow. A seed is taken when the
// method works on the person.
const Refused = 12

// Unselected is the case number i of people as they come, whose aberrations nobody
// chose: of those drawn, the ones with a cylinder that the method is for. Their
// errors are of lenses that the trial set has.
func Unselected(seed uint64, i int) *cases.Case {
	for n := uint64(0); ; n++ {
		c := cases.Draw(seed*1_000_003+uint64(i)+n<<32, 0)
		c.MannerName, c.Manner = manner, patient.Manners()[manner]
		if cyl := c.Of(c.Tested).Error.MinusCyl().Cyl; cyl <= -method.FaintestCylinder && cyl >= mostQuarters {
			return c
		}
	}
}

// mostQuarters is the strongest cylinder, in dioptres, up to which the trial set has
// every quarter.
const mostQuarters = -4.0

// HowOf is [How] of a case.
func HowOf(c *cases.Case, sittings int) (Works, error) {
	return How(sitting.Start(c.Setup(), sitting.Seeded(1)), sittings)
}
