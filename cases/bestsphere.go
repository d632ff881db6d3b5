package cases

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"math/rand/v2"

	"conoid/sim/optics"
	"conoid/sim/sitting"
)

// bestSphereSpread is the standard deviation, in dioptres, by which the best sphere
// on a record card misses the spherical equivalent of the error. The project's
// choice, as no published figure was found: as much as an objective result does
// (objectiveM). If the card had it right, its sphere with half the objective
// cylinder would leave nothing to be found.
const bestSphereSpread = 0.33

// BestSphere is the best sphere on the record card, in dioptres in the back cell: the
// one with which somebody found that an eye sees best without a cylinder, and not
// quite right. It is what the case says, or else follows from the eyes of the
// person, whatever the case says in words.
func (c *Case) BestSphere(side sitting.Side) float64 {
	e := c.Of(side)
	if e.BestSphereLens != nil {
		return *e.BestSphereLens
	}
	return foundSphere(rand.New(rand.NewPCG(c.sphereSeed(side))), e.Error)
}

// foundSphere is a best sphere as somebody finds it, to the nearest quarter: about
// the sphere that brings the circle of least confusion to the retina, as handbooks
// define it. Acuity alone does not single that out: through a large cylinder it
// hardly changes over a dioptre.
func foundSphere(r *rand.Rand, truth optics.Rx) float64 {
	return math.Round(4*(truth.SE()+bestSphereSpread*r.NormFloat64()))/4 + 0
}

// sphereSeed is the seed of what the best sphere of an eye is off by. It is taken
// from the hidden errors and aberrations: who does not know these cannot reckon it
// back, and it has nothing in common with Hash, which a log makes public. Neither
// texts nor marks nor the objective result matter, so that a case can be worked
// over without another card. Numbers count to a millionth, as in Hash, so that every
// machine has the same.
func (c *Case) sphereSeed(side sitting.Side) (hi, lo uint64) {
	h := sha256.New()
	put(h, "best sphere", string(side), c.Age)
	for _, e := range c.Eyes {
		putRx(h, "error", e.Error)
		a := e.Aberrations
		put(h, "aberrations", string(a.From), a.Seed, a.Given.Diameter, a.Given.Coefficients)
	}
	sum := h.Sum(nil)
	return binary.BigEndian.Uint64(sum), binary.BigEndian.Uint64(sum[8:])
}
