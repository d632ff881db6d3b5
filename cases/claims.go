package cases

import (
	"math"
	"slices"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// Claim is one of the things that a refraction claims of an eye.
type Claim string

// The claims.
const (
	AxisClaim     Claim = "axis"
	CylinderClaim Claim = "cylinder"
	SphereClaim   Claim = "sphere" // by the spherical equivalent
)

// Claims are all, in a fixed order.
func Claims() []Claim { return []Claim{AxisClaim, CylinderClaim, SphereClaim} }

// Name is the ID of its word.
func (c Claim) Name() string { return "claim." + string(c) }

// The bands of a claim: the step of the trial lenses in dioptres, and for the axis
// the turn, in degrees, that leaves as much, but never less nor more than an
// examiner reads off a frame with some care. The bounds of the turn are the project's
// choice.
const (
	powerBand    = 0.25
	leastTurn    = 5
	greatestTurn = 15
)

// AxisBand is the band, in degrees, of the axis of a cylinder.
func AxisBand(cyl float64) float64 {
	return min(max(method.AxisTolerance(cyl), leastTurn), greatestTurn)
}

// beyond reports whether an amount is more than a band, as far as numbers tell.
func beyond(off, band float64) bool { return math.Abs(off) > band+1e-9 }

// CardMisses are the claims in which the record card of the tested eye is off by more
// than a band, in a fixed order: those that copying the card gets wrong. The sphere
// is one of them only when both the objective result and the best sphere miss it,
// since either may be copied; and so it is with old spectacles and all three. An axis is missed where there is one to find, and the
// objective result has another or none.
func (c *Case) CardMisses() (out []Claim) {
	e := c.Of(c.Tested)
	for _, claim := range misses(e.Objective, e.Error) {
		if claim == SphereClaim && !beyond(c.BestSphere(c.Tested)-e.Error.SE(), powerBand) {
			continue
		}
		if e.Spectacles == nil || slices.Contains(misses(*e.Spectacles, e.Error), claim) {
			out = append(out, claim)
		}
	}
	return out
}

// misses are the claims in which a result is off by more than a band.
func misses(found, truth optics.Rx) (out []Claim) {
	found, truth = found.MinusCyl(), truth.MinusCyl()
	add := func(is bool, claim Claim) {
		if is {
			out = append(out, claim)
		}
	}
	off := optics.AxisDifference(truth.Axis, found.Axis)
	add(truth.Cyl != 0 && (found.Cyl == 0 || beyond(off, AxisBand(truth.Cyl))), AxisClaim)
	add(beyond(found.Cyl-truth.Cyl, powerBand), CylinderClaim)
	add(beyond(found.SE()-truth.SE(), powerBand), SphereClaim)
	return out
}

// CheckCopied looks at whether the record card gives the answer away. Of a case for
// assessment more is asked: there the card should be off in two claims.
func CheckCopied(c *Case, assessed bool) []fact.Fact {
	switch m := c.CardMisses(); {
	case len(m) == 0:
		return []fact.Fact{fact.New("case.mind.copied")}
	case len(m) < wantedMisses && assessed:
		return []fact.Fact{fact.New("case.mind.copied-but-one", "claim", m[0])}
	}
	return nil
}
