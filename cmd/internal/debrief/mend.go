package debrief

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/scoring"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// mends tell of findings at which event they show, and what would have mended
// them there: no more than the finding says should have been. Where the answers
// say what that is, it comes from them.
var mends = map[string]func(walk, scoring.Finding) (int, []sitting.Action){
	"wrong-eye":        walk.testedEye,
	"cylinder-left-in": walk.cylinderOut,

	"fog-too-little":     walk.usualFog,
	"fog-too-much":       walk.usualFog,
	"fog-check-unheeded": walk.usualFog,
	"fog-lost":           walk.usualFog,
	"fog-not-verified":   walk.littlePlus,

	"axis-along-line":       walk.lensAtHeardAxis,
	"axis-mirrored":         walk.lensAtHeardAxis,
	"blocks-axis-unsettled": walk.lensAtHeardAxis,
	"arrow-missing":         walk.lensAtHeardAxis,
	"arrow-turned-wrong":    walk.arrowAtHeardAxis,
	"arrow-not-balanced":    walk.arrowAtHeardAxis,
	"axis-not-borne-out":    walk.arrowAtHeardAxis,
	"leading-question":      walk.answerHeeded,

	"reversing-cylinder-kept": walk.weakerCylinder,
	"cylinder-not-bracketed":  walk.heardCylinder,
	"cylinder-steps-coarse":   walk.heardCylinder,
	"cylinder-not-borne-out":  walk.heardCylinder,
	"check-unheeded":          walk.heardCylinder,
	"equality-not-checked":    walk.littlePlus,
	"sphere-moved":            walk.sphereAsBefore,
	"answers-unheeded":        walk.answerHeeded,

	"too-much-minus":       walk.heardSphere,
	"too-much-plus":        walk.heardSphere,
	"fog-left-in":          walk.heardSphere,
	"working-lens-left-in": walk.heardSphere,
	"sphere-not-borne-out": walk.heardSphere,
	"most-plus-not-shown":  walk.quarterMore,
}

// testedEye opens the tested eye and covers the other.
func (w walk) testedEye(f scoring.Finding) (n int, do []sitting.Action) {
	n = f.Events[0]
	tested, covered := w.s.Setup().Tested, w.after[n].Covered
	if covered[tested.Index()] {
		do = append(do, sitting.Action{Do: sitting.Uncover, Eye: tested})
	}
	if !covered[tested.Other().Index()] {
		do = append(do, sitting.Action{Do: sitting.Cover, Eye: tested.Other()})
	}
	return n, do
}

// cylinderOut takes every cylinder out.
func (w walk) cylinderOut(f scoring.Finding) (n int, do []sitting.Action) {
	n = f.Events[0]
	for _, c := range cylinders(w.frame(n)) {
		do = append(do, sitting.Action{Do: sitting.Take, Cell: sitting.In(c)})
	}
	return n, do
}

// usualFog brings the usual fog.
func (w walk) usualFog(f scoring.Finding) (int, []sitting.Action) {
	n := f.Events[0]
	return n, moreSphere(w.frame(n), method.UsualFog-float64(w.Report.Path[n-1].Fog))
}

// littlePlus holds up the plus that a fog, or equal blocks, are verified with.
func (w walk) littlePlus(f scoring.Finding) (int, []sitting.Action) {
	n := f.Events[0]
	if w.frame(n).Held != (optics.Lens{}) {
		return n, nil
	}
	return n, []sitting.Action{{Do: sitting.Hold, Lens: optics.SphereOf(method.LittlePlus)}}
}

// heardAxis is the axis that the answers say.
func (w walk) heardAxis(f scoring.Finding) (axis int, ok bool) {
	if fit := w.fit(cases.AxisClaim); fit != nil {
		return wholeAxis(*fit), true
	}
	heard, ok := f.Values["heard"].(fact.Degrees)
	return wholeAxis(float64(heard)), ok
}

// lensAtHeardAxis turns the cylinder to the axis that the answers say, and with
// it what points along it, at the first question with the cylinder in.
func (w walk) lensAtHeardAxis(f scoring.Finding) (n int, do []sitting.Action) {
	for n = f.Events[0]; n < len(w.after); n++ {
		if cells := cylinders(w.frame(n)); w.action(n).Do == sitting.Ask && len(cells) == 1 {
			axis, ok := w.heardAxis(f)
			if !ok || near(w.frame(n).Lenses[cells[0]].Axis, axis) {
				return n, nil
			}
			do = append(do, sitting.Action{Do: sitting.Turn, Cell: sitting.In(cells[0]), Axis: axis})
			return n, append(do, w.pointTo(n, axis)...)
		}
	}
	return n, nil
}

// arrowAtHeardAxis points the arrow to the axis that the answers say, at the last
// question of the finding that is about it.
func (w walk) arrowAtHeardAxis(f scoring.Finding) (int, []sitting.Action) {
	n, ok := w.last(f.Events, patient.WhichLimb)
	axis, heard := w.heardAxis(f)
	if !ok || !heard {
		return n, nil
	}
	return n, w.pointTo(n, axis)
}

// pointTo points what is shown at an event to a label, if it can be and does not
// point there yet.
func (w walk) pointTo(n, label int) []sitting.Action {
	st := w.after[n]
	if !chart.Named(st.Chart).Pointed || near(float64(st.Pointer), label) {
		return nil
	}
	return []sitting.Action{{Do: sitting.Point, Axis: label}}
}

// weakerCylinder gives the next weaker cylinder of the set, at the last question
// about the blocks.
func (w walk) weakerCylinder(f scoring.Finding) (int, []sitting.Action) {
	n, ok := w.last(f.Events, patient.WhichBlock)
	if !ok {
		return n, nil
	}
	cells := cylinders(w.frame(n))
	if len(cells) != 1 {
		return n, nil
	}
	weaker, ok := w.s.Setup().Room.Set.Neighbour(w.frame(n).Lenses[cells[0]], +1)
	if !ok {
		return n, nil
	}
	return n, []sitting.Action{exchanged(cells[0], weaker)}
}

// heardCylinder gives the cylinder that the answers say, at the last question of
// the finding that is about the blocks.
func (w walk) heardCylinder(f scoring.Finding) (int, []sitting.Action) {
	n, ok := w.last(f.Events, patient.WhichBlock)
	fit := w.fit(cases.CylinderClaim)
	if !ok || fit == nil {
		return n, nil
	}
	return n, w.cylinderOf(n, -*fit)
}

// sphereAsBefore gives the sphere back that stood at the question about the
// blocks before.
func (w walk) sphereAsBefore(f scoring.Finding) (int, []sitting.Action) {
	n := f.Events[0]
	for was := n - 1; was > 0; was-- {
		if w.asks(was, patient.WhichBlock) {
			return n, moreSphere(w.frame(n), w.frame(was).Prescription().Sphere-w.frame(n).Prescription().Sphere)
		}
	}
	return n, nil
}

// answerHeeded is where the first answer leads that was put into a mouth or not
// followed, where it is about the arrow or the blocks.
func (w walk) answerHeeded(f scoring.Finding) (int, []sitting.Action) {
	for _, n := range f.Events {
		first := f
		first.Events = []int{n}
		for _, where := range []func(scoring.Finding) (int, []sitting.Action){w.arrowAtHeardAxis, w.heardCylinder} {
			if n, do := where(first); len(do) > 0 {
				return n, do
			}
		}
	}
	return f.Events[0], nil
}

// heardSphere gives the sphere that the answers say, or as much as the finding
// says it is off, when letters were read last.
func (w walk) heardSphere(f scoring.Finding) (int, []sitting.Action) {
	n, ok := w.lastRead()
	if !ok || w.Report.Mark == nil {
		return n, nil
	}
	more := 0.0
	if fit := w.fit(cases.SphereClaim); fit != nil {
		more = *fit
	} else if off, told := f.Values["off"].(fact.Amount); told && f.ID == "too-much-minus" {
		more = float64(off)
	} else {
		more = -float64(off)
	}
	if more == 0 {
		return n, nil
	}
	return n, moreSphere(w.frame(n), w.Report.Mark.EndPoint.SE()+more-w.frame(n).Prescription().SE())
}

// quarterMore gives one step more plus, when letters were read last.
func (w walk) quarterMore(scoring.Finding) (int, []sitting.Action) {
	n, ok := w.lastRead()
	if !ok {
		return n, nil
	}
	return n, moreSphere(w.frame(n), method.SphereStep)
}

// fit is what goes best with the answers about a claim, on its scale; nil where
// nothing does.
func (w walk) fit(name cases.Claim) *float64 {
	for _, c := range w.Report.Claims {
		if c.Name == name {
			return c.Fit
		}
	}
	return nil
}

func (w walk) action(n int) sitting.Action { return w.Report.Path[n-1].Action }

func (w walk) asks(n int, q patient.Question) bool {
	a := w.action(n)
	return a.Do == sitting.Ask && a.Question == q
}

// last is the last of some events at which a question was put.
func (w walk) last(events []int, q patient.Question) (int, bool) {
	for _, n := range slices.Backward(slices.Sorted(slices.Values(events))) {
		if w.asks(n, q) {
			return n, true
		}
	}
	return 0, false
}

// lastRead is the last event at which letters were read with nothing held up.
func (w walk) lastRead() (int, bool) {
	for n := len(w.after) - 1; n > 0; n-- {
		if w.asks(n, patient.ReadLetters) && w.frame(n).Held == (optics.Lens{}) {
			return n, true
		}
	}
	return 0, false
}

// cylinders are the cells with a cylinder.
func cylinders(f optics.Frame) (out []optics.Cell) {
	for c, l := range f.Lenses {
		if l.Kind == optics.CylinderLens {
			out = append(out, optics.Cell(c))
		}
	}
	return out
}

// moreSphere changes the sphere of a frame by so many dioptres, in steps of the
// trial lenses.
func moreSphere(f optics.Frame, more float64) []sitting.Action {
	more = stepped(more, method.SphereStep)
	if more == 0 {
		return nil
	}
	for c, l := range f.Lenses {
		if l.Kind == optics.SphereLens {
			return []sitting.Action{exchanged(optics.Cell(c), optics.SphereOf(l.Power+more))}
		}
	}
	return []sitting.Action{{Do: sitting.Put, Lens: optics.SphereOf(more)}}
}

// cylinderOf gives the frame at an event a cylinder of another power, in steps of
// the trial lenses: in the place of the one that is in, or along the arrow.
func (w walk) cylinderOf(n int, power float64) []sitting.Action {
	f := w.frame(n)
	cells := cylinders(f)
	if power = stepped(power, method.CylinderStep); power > 0 || len(cells) > 1 {
		return nil
	}
	if len(cells) == 0 {
		if power == 0 {
			return nil
		}
		return []sitting.Action{{Do: sitting.Put, Lens: optics.CylinderOf(power, float64(w.after[n].Pointer))}}
	}
	was := f.Lenses[cells[0]]
	if power == was.Power {
		return nil
	}
	return []sitting.Action{exchanged(cells[0], optics.CylinderOf(power, was.Axis))}
}

// exchanged puts another lens into a cell, or none where it has no power.
func exchanged(c optics.Cell, l optics.Lens) sitting.Action {
	if l.Power == 0 {
		return sitting.Action{Do: sitting.Take, Cell: sitting.In(c)}
	}
	return sitting.Action{Do: sitting.Exchange, Cell: sitting.In(c), Lens: l}
}

func stepped(d, step float64) float64 { return math.Round(d/step)*step + 0 }

// wholeAxis is an axis to the degree, 1 to 180.
func wholeAxis(axis float64) int { return int(optics.Axis(math.Round(axis))) }

// near reports whether an axis is another, to the degree.
func near(axis float64, other int) bool {
	return math.Abs(optics.AxisDifference(axis, float64(other))) < 1
}
