package scoring

import (
	"math"

	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
)

// Difference is an end point against the truth. All powers are in dioptres,
// all angles in degrees, all differences are the end point less the truth, and
// everything is compared with minus cylinders.
type Difference struct {
	Truth    optics.Rx `json:"truth"`
	EndPoint optics.Rx `json:"endPoint"`

	Residual          Residual    `json:"residual"`
	DefocusEquivalent fact.Amount `json:"defocusEquivalent"`
	SphereError       fact.Power  `json:"sphereError"`   // positive: too much plus
	CylinderError     fact.Power  `json:"cylinderError"` // negative: too much minus cylinder

	// Axis is absent when the truth or the end point has no cylinder.
	Axis *AxisError `json:"axis,omitempty"`

	Band      Band `json:"band"`
	OverMinus bool `json:"overMinus"` // the spherical equivalent is more than OverMinusLimit too minus
	OverPlus  bool `json:"overPlus"`  // the spherical equivalent is more than OverPlusLimit too plus
}

// Residual is a power vector.
type Residual struct {
	M   fact.Power `json:"m"`
	J0  fact.Power `json:"j0"`
	J45 fact.Power `json:"j45"`
}

func vector(p optics.Power) Residual {
	return Residual{fact.Power(tidy(p.M)), fact.Power(tidy(p.J0)), fact.Power(tidy(p.J45))}
}

// Power is the residual to reckon with.
func (r Residual) Power() optics.Power {
	return optics.Power{M: float64(r.M), J0: float64(r.J0), J45: float64(r.J45)}
}

// AxisError is how far an axis is off, in degrees.
type AxisError struct {
	Error     fact.Turn    `json:"error"`     // -90 to 90, positive counter-clockwise as the examiner sees it
	Tolerance fact.Degrees `json:"tolerance"` // the turn that method.AxisTolerance allows
	Within    bool         `json:"within"`
}

// The project's own limits, in dioptres. Published pass marks vary and are not
// followed here. Too much minus is judged more strictly than too much plus,
// because a young eye hides it by accommodating and works for it all day.
const (
	OverMinusLimit = 0.25
	OverPlusLimit  = 0.50
)

// grain is far below any lens: powers and angles that differ by less are equal.
const grain = 1e-9

// Compare is the end point that a student stated against the truth.
func Compare(truth, stated optics.Rx) Difference {
	truth, stated = truth.MinusCyl(), stated.MinusCyl()
	left := stated.Power().Sub(truth.Power())
	d := Difference{
		Truth:             truth,
		EndPoint:          stated,
		Residual:          vector(left),
		DefocusEquivalent: fact.Amount(tidy(DefocusEquivalent(left))),
		SphereError:       fact.Power(tidy(stated.Sphere - truth.Sphere)),
		CylinderError:     fact.Power(tidy(stated.Cyl - truth.Cyl)),
		OverMinus:         left.M < -OverMinusLimit-grain,
		OverPlus:          left.M > OverPlusLimit+grain,
	}
	d.Band = bandOf(float64(d.DefocusEquivalent))
	if truth.Cyl != 0 && stated.Cyl != 0 {
		off := optics.AxisDifference(truth.Axis, stated.Axis)
		allowed := method.AxisTolerance(truth.Cyl)
		d.Axis = &AxisError{Error: fact.Turn(tidy(off)), Tolerance: fact.Degrees(allowed), Within: math.Abs(off) <= allowed+grain}
	}
	return d
}

// DefocusEquivalent is the spherical blur, in dioptres, that is as bad as a
// sphero-cylindrical one: |SE| + |C|/2 (after Holladay, from memory).
func DefocusEquivalent(left optics.Power) float64 {
	return math.Abs(left.M) + left.Astigmatism()
}

// Band is how close an end point is, by its defocus equivalent.
type Band string

// The bands, which are the project's choice: the step of the trial lenses, and
// twice and four times as much.
const (
	Close   Band = "close"   // within 0.25 D
	Fair    Band = "fair"    // within 0.50 D
	Wide    Band = "wide"    // within 1.00 D
	Outside Band = "outside" // beyond
)

// limits are the widest defocus equivalents, in dioptres, of the bands.
const (
	closeLimit = 0.25
	fairLimit  = 0.50
	wideLimit  = 1.00
)

func bandOf(equivalent float64) Band {
	switch {
	case equivalent <= closeLimit+grain:
		return Close
	case equivalent <= fairLimit+grain:
		return Fair
	case equivalent <= wideLimit+grain:
		return Wide
	}
	return Outside
}

// Verdict sums the end point up.
func (d *Difference) Verdict() fact.Fact {
	if d.DefocusEquivalent == 0 {
		return fact.New("verdict.right")
	}
	band := d.verdictOfBand()
	if faults := d.faults(); len(faults) > 0 {
		return fact.New("verdict.with", "verdict", band, "faults", faults)
	}
	return band
}

func (d *Difference) verdictOfBand() fact.Fact {
	switch d.Band {
	case Close:
		return fact.New("verdict.within", "limit", fact.Amount(closeLimit))
	case Fair:
		return fact.New("verdict.within", "limit", fact.Amount(fairLimit))
	case Wide:
		return fact.New("verdict.within", "limit", fact.Amount(wideLimit))
	}
	return fact.New("verdict.beyond", "limit", fact.Amount(wideLimit))
}

// faults are what the verdict names besides.
func (d *Difference) faults() (out []fact.Fact) {
	if d.OverMinus {
		out = append(out, fact.New("fault.minus"))
	}
	if d.OverPlus {
		out = append(out, fact.New("fault.plus"))
	}
	switch {
	case d.Axis != nil && !d.Axis.Within:
		out = append(out, fact.New("fault.axis"))
	case d.Axis == nil && d.CylinderError < 0:
		out = append(out, fact.New("fault.needless-cylinder"))
	case d.Axis == nil && d.CylinderError > 0:
		out = append(out, fact.New("fault.no-cylinder"))
	}
	return out
}

// tidy rounds to a millionth, and a negative zero to zero.
func tidy(x float64) float64 { return math.Round(x*1e6)/1e6 + 0 }
