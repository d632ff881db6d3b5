package optics

import (
	"math"
	"slices"

	"conoid/sim/fact"
)

// TrialSet is the case of lenses that a frame is filled from. Its ranges and
// steps are common practice, not those of a standard.
type TrialSet struct {
	PlusCylinders bool // plus cylinders lie beside the minus cylinders
}

// Spheres lists the powers of the spheres in dioptres, in rising order:
// 0.12, then steps of 0.25 to 6.00, of 0.50 to 10.00 and of 1.00 to 20.00, of
// both signs.
func (t TrialSet) Spheres() []float64 {
	plus := ladder([]float64{0.12}, 0.25, 6)
	plus = ladder(ladder(plus, 0.5, 10), 1, 20)
	return append(negated(plus), plus...)
}

// Cylinders lists the powers of the cylinders in dioptres, in rising order:
// steps of 0.25 to 4.00 and of 0.50 to 6.00, minus only unless the set has
// plus cylinders too.
func (t TrialSet) Cylinders() []float64 {
	plus := ladder(ladder(nil, 0.25, 4), 0.5, 6)
	if t.PlusCylinders {
		return append(negated(plus), plus...)
	}
	return negated(plus)
}

// HandHeld lists the spheres on a handle, in rising order of power.
func (t TrialSet) HandHeld() []Lens {
	return []Lens{SphereOf(-0.5), SphereOf(-0.25), SphereOf(0.25), SphereOf(0.5), SphereOf(1)}
}

// HeldCylinders lists the powers of the minus cylinders on a handle, in rising
// order; each is held up at any whole axis.
func (t TrialSet) HeldCylinders() []float64 { return []float64{-0.5, -0.25} }

// Check is nil when the set has l, or l is no lens; otherwise it says what the
// set has instead. Axes are whole degrees, 1 to 180.
func (t TrialSet) Check(l Lens) error {
	switch l.Kind {
	case NoLens, PinholeLens, OccluderLens:
		return nil
	case SphereLens:
		return offer(l, t.Spheres())
	case CylinderLens:
		if l.Power > 0 && !t.PlusCylinders {
			return fact.Refuse("optics.minus-only", "power", fact.Power(l.Power))
		}
		if err := offer(l, t.Cylinders()); err != nil {
			return err
		}
		return checkAxis(l.Axis)
	}
	return fact.Refuse("optics.no-kind", "kind", int(l.Kind))
}

func checkAxis(axis float64) error {
	if axis != math.Round(axis) || axis < 1 || axis > 180 {
		return fact.Refuse("optics.axis-not-set", "axis", fact.Number(axis))
	}
	return nil
}

// CheckHeld is nil when the set has l on a handle, or l is no lens; otherwise
// it says what can be held up.
func (t TrialSet) CheckHeld(l Lens) error {
	if l.Kind == NoLens || slices.Contains(t.HandHeld(), l) {
		return nil
	}
	if l.Kind == CylinderLens && slices.Contains(t.HeldCylinders(), l.Power) {
		return checkAxis(l.Axis)
	}
	var powers, cylinders []fact.Power
	for _, h := range t.HandHeld() {
		powers = append(powers, fact.Power(h.Power))
	}
	for _, p := range t.HeldCylinders() {
		cylinders = append(cylinders, fact.Power(p))
	}
	return fact.Refuse("optics.not-held", "lens", l, "powers", powers, "cylinders", cylinders)
}

// Neighbour is the lens of l's kind that lies steps places further toward plus
// (toward minus when steps < 0) in the set; a cylinder keeps its axis. ok is
// false when the set has no such lens, or l itself is none of its spheres or
// cylinders.
func (t TrialSet) Neighbour(l Lens, steps int) (next Lens, ok bool) {
	var powers []float64
	switch l.Kind {
	case SphereLens:
		powers = t.Spheres()
	case CylinderLens:
		powers = t.Cylinders()
	}
	i, found := slices.BinarySearch(powers, l.Power)
	// The bounds are compared without i + steps, which might overflow.
	if !found || steps < -i || steps >= len(powers)-i {
		return Lens{}, false
	}
	return l.WithPower(powers[i+steps]), true
}

// ladder adds steps to the powers, from the last one's next multiple of step
// up to and with top.
func ladder(powers []float64, step, top float64) []float64 {
	at := 0.0
	if n := len(powers); n > 0 {
		at = math.Floor(powers[n-1]/step) * step
	}
	for at < top {
		at += step
		powers = append(powers, at)
	}
	return powers
}

// negated is the powers with the other sign, in rising order.
func negated(powers []float64) []float64 {
	out := make([]float64, 0, 2*len(powers))
	for _, p := range slices.Backward(powers) {
		out = append(out, -p)
	}
	return out
}

// offer is nil when l's power is one of the powers, which rise; otherwise it
// names the nearest.
func offer(l Lens, powers []float64) error {
	i, found := slices.BinarySearch(powers, l.Power)
	switch {
	case found:
		return nil
	case math.IsNaN(l.Power):
		return fact.Refuse("optics.no-power", "kind", l.Kind)
	case i == 0 || i == len(powers):
		nearest := powers[min(i, len(powers)-1)]
		return fact.Refuse("optics.nearest", "kind", l.Kind, "power", fact.Power(l.Power), "nearest", fact.Power(nearest))
	}
	return fact.Refuse("optics.between", "kind", l.Kind, "power", fact.Power(l.Power),
		"below", fact.Power(powers[i-1]), "above", fact.Power(powers[i]))
}
