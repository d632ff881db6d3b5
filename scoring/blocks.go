package scoring

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// step is the usual step of the trial cylinders, in dioptres, with a little more
// for rounding.
const step = method.CylinderStep + 0.01

// answersByPower are the powers of cylinder, in dioptres, for which the blocks
// got each kind of answer; the last answer counts for a power that was asked
// about more than once.
func (t *trace) answersByPower() map[patient.Kind][]float64 {
	last := map[float64]patient.Kind{}
	for _, i := range t.blocks() {
		m := &t.moments[i]
		k := m.Answer.Kind
		if k == patient.Unsure {
			k = patient.Alike
		}
		last[tidy(m.marked.Cyl)] = k
	}
	out := map[patient.Kind][]float64{}
	for power, k := range last {
		out[k] = append(out[k], power)
	}
	for _, v := range out {
		slices.Sort(v) // the strongest minus first
	}
	return out
}

// blockWork judges the work on the power of the cylinder, with the blocks.
type blockWork struct{ *trace }

// judgeBracket: the cylinder is made stronger in the steps of the set until the
// blocks reverse, and the one that reverses them is not the one that is given
// (taught so; the answer between is the weaker one). Only a power that the answers do
// not bear out needs a finding.
func (t blockWork) judgeBracket() (j judgement) {
	blocks := t.blocks()
	if t.borne(cases.CylinderClaim) || t.found().Cyl == 0 {
		return j
	}
	if len(blocks) == 0 {
		if t.worked() {
			j.findings = append(j.findings, t.blocksMissing())
		}
		return j
	}
	a := t.answersByPower()
	if f, ok := t.reversingKept(a); ok {
		return judgement{findings: []Finding{f}}
	}
	if !bracketed(a) || t.weakKept(a) {
		return judgement{findings: []Finding{t.notBracketed(a)}}
	}
	if gap := t.widestLeap(t.powersBetween(a[patient.Parallel], a[patient.Perpendicular])); gap > 0 {
		j.findings = append(j.findings, finding("cylinder-steps-coarse", 0, blocks, "step", fact.Amount(gap)))
	}
	return j
}

// worked reports whether anything was asked of the tested eye on a dial, the arrow
// or the blocks.
func (t blockWork) worked() bool {
	blocks := t.where(t.asked(patient.WhichBlock), func(m *moment) bool { return m.sees })
	return len(t.dials())+len(t.arrows())+len(blocks) > 0
}

// bracketed reports whether the blocks were seen to reverse: the bars across the
// arrow clearer, and with a weaker cylinder not so, unless even the weakest
// reversed them.
func bracketed(a map[patient.Kind][]float64) bool {
	across := a[patient.Perpendicular]
	if len(across) == 0 {
		return false
	}
	weakest := slices.Max(across)
	weaker := func(powers []float64) bool {
		return len(powers) > 0 && slices.Max(powers) > slices.Min(across)
	}
	return weaker(a[patient.Parallel]) || weaker(a[patient.Alike]) || weakest > -step
}

// powersBetween are the powers asked about from the strongest that was too weak
// to the weakest that was too strong.
func (t blockWork) powersBetween(parallel, across []float64) []float64 {
	high, low := 0.0, slices.Max(across)
	if len(parallel) > 0 {
		high = slices.Min(parallel)
	}
	var out []float64
	for _, powers := range t.answersByPower() {
		for _, p := range powers {
			if p >= low-grain && p <= high+grain {
				out = append(out, p)
			}
		}
	}
	slices.Sort(out)
	return out
}

// widestLeap is the widest step, in dioptres, from one power to the next that
// left out one of the set; 0 for none. The powers are in rising order.
func (t blockWork) widestLeap(powers []float64) float64 {
	leap := 0.0
	for i := 1; i < len(powers); i++ {
		if !t.neighbours(powers[i], powers[i-1]) {
			leap = max(leap, powers[i]-powers[i-1])
		}
	}
	return leap
}

// neighbours reports whether the set has no minus cylinder between two.
func (t blockWork) neighbours(weaker, stronger float64) bool {
	if weaker-stronger < step {
		return true
	}
	next, ok := t.setup.Room.Set.Neighbour(optics.CylinderOf(weaker, 180), -1)
	return ok && math.Abs(next.Power-stronger) < 0.01
}

func (t blockWork) blocksMissing() Finding {
	at, _ := first(t.arrows(), t.dials(), []int{len(t.moments) - 1})
	return finding("blocks-missing", 0, []int{at}, "stated", cylinder(t.found()), "cylinder", cylinder(t.truth))
}

func (t blockWork) notBracketed(a map[patient.Kind][]float64) Finding {
	f := finding("cylinder-not-bracketed", 0, t.blocks(), "found", cylinder(t.found()), "cylinder", cylinder(t.truth))
	switch {
	case bracketed(a):
		f.Form = "kept" // was called too weak
	case len(a[patient.Perpendicular]) > 0:
		f.Form = "across" // from the first
	case len(a[patient.Alike]) == 0:
		f.Form = "weak" // still too weak by all that was said
	}
	return f
}

// weakKept reports whether a cylinder that the blocks called too weak was given.
func (t blockWork) weakKept(a map[patient.Kind][]float64) bool {
	return slices.ContainsFunc(a[patient.Parallel], func(p float64) bool { return math.Abs(p-t.found().Cyl) < 0.01 })
}

// reversingKept reports whether a cylinder that reversed the blocks was given,
// though a weaker one had not.
func (t blockWork) reversingKept(a map[patient.Kind][]float64) (Finding, bool) {
	final := t.found().Cyl
	is := func(powers []float64, power float64) bool {
		return slices.ContainsFunc(powers, func(p float64) bool { return math.Abs(p-power) < 0.01 })
	}
	weaker := func(p float64) bool { return p > final+0.01 }
	if !is(a[patient.Perpendicular], final) ||
		!slices.ContainsFunc(a[patient.Parallel], weaker) && !slices.ContainsFunc(a[patient.Alike], weaker) {
		return Finding{}, false
	}
	with := t.where(t.blocks(), func(m *moment) bool { return math.Abs(m.marked.Cyl-final) < 0.01 })
	return finding("reversing-cylinder-kept", 0, with, "power", fact.Power(final)), true
}

// judgeSphereAlone: minus cylinder at the right axis moves the front line alone,
// so that the sphere has no reason to change while the blocks are compared. Half
// the cylinder added in plus, as some teach, is accepted; so is what brings the
// fog to where it belongs, or answers an answer that cannot be used.
func (t blockWork) judgeSphereAlone() judgement {
	blocks := t.blocks()
	var moved, compensated []int
	for n := 1; n < len(blocks); n++ {
		was, now := &t.moments[blocks[n-1]], &t.moments[blocks[n]]
		more := tidy(now.marked.Sphere - was.marked.Sphere)
		added := tidy(was.marked.Cyl - now.marked.Cyl) // minus cylinder
		switch {
		case math.Abs(more) < slack || substance(was.Answer.Kind) == patient.Alike || was.Answer.Kind == patient.Blurred || t.asForBetter(was.N, now.N, more):
		case added != 0 && more > 0 == (added > 0) && math.Abs(more) <= max(0.25, math.Abs(added)/2)+grain:
			compensated = append(compensated, blocks[n])
		case fogError(now.fog) < fogError(was.fog)-grain:
		default:
			moved = append(moved, blocks[n])
		}
	}
	j := judgement{}
	if len(compensated) > 0 {
		j.findings = append(j.findings, finding("sphere-compensated", 0, compensated,
			"from", place(t.moments[blocks[0]].fog), "to", place(t.moments[blocks[len(blocks)-1]].fog)))
	}
	if len(moved) > 0 {
		m := &t.moments[moved[0]]
		j.findings = append(j.findings, finding("sphere-moved", 1, moved, "sphere", fact.Power(m.marked.Sphere), "back", place(m.fog)))
	}
	return j
}

// asForBetter reports whether, between two events, a lens held up of the sign of a
// change of the sphere was called better: then the change has its reason.
func (t blockWork) asForBetter(from, to int, change float64) bool {
	return len(t.where(t.asked(patient.WithLens), func(m *moment) bool {
		return m.N > from && m.N < to && m.Answer.Kind == patient.Better && m.frame.Held.Rx().Sphere*change > 0
	})) > 0
}

// fogError is how far a fog is from the range that it should be in.
func fogError(fog float64) float64 {
	return max(0, method.LeastFog-fog, fog-method.MostFog)
}

// judgeCheck: with the cylinder found, more plus blurs the blocks and leaves
// them alike, or the dial, shown once more, has no line that stands out (taught
// so). The other check, that another −0.25 D reverses them, is the bracket's. A check
// that fails sends back to the axis or the power.
func (t blockWork) judgeCheck() (j judgement) {
	blocks := t.blocks()
	if len(blocks) == 0 || t.end == nil || t.found().Cyl == 0 {
		return j
	}
	checks := t.where(t.asked(patient.WhichBlock, patient.WhichLines, patient.WithLens), func(m *moment) bool {
		return m.N > blocks[0] && !m.plain() && t.checks(m)
	})
	for n := 1; n < len(blocks); n++ {
		was, now := &t.moments[blocks[n-1]], &t.moments[blocks[n]]
		if was.marked.Cyl == now.marked.Cyl && isLittle(now.fog-was.fog) {
			checks = append(checks, blocks[n])
		}
	}
	if len(checks) == 0 {
		return judgement{findings: []Finding{finding("equality-not-checked", 0.6, blocks[len(blocks)-1:])}}
	}
	failed, passed := t.failed(checks)
	if len(failed) > passed && !t.reopened(failed[0]) {
		m := &t.moments[failed[0]]
		f := finding("check-unheeded", 1, failed, "said", said(m.Answer), "cylinder", cylinder(m.marked))
		if m.State.Chart.Is(chart.DialChart) {
			f.Form = "dial"
		}
		j.findings = append(j.findings, f)
	}
	return j
}

// reopened reports whether after an event the cylinder was changed, or the arrow or
// the blocks were asked about without more plus: it sent back to the axis or the power.
func (t blockWork) reopened(event int) bool {
	was := &t.moments[event]
	for _, m := range t.moments[event+1:] {
		if m.marked.Cyl != was.marked.Cyl || m.marked.Cyl != 0 && m.marked.Axis != was.marked.Axis {
			return true
		}
		if (m.Action.Question == patient.WhichBlock || m.Action.Question == patient.WhichLimb) && !m.holding() && m.marked.Sphere <= was.marked.Sphere {
			return true
		}
	}
	return false
}

// checks reports whether a question is a check of equality: the dial through the
// cylinder, or more plus before the blocks.
func (t blockWork) checks(m *moment) bool {
	if m.State.Chart.Is(chart.DialChart) {
		return m.Action.Question == patient.WhichLines && !m.holding()
	}
	return m.State.Chart.Is(chart.BlockChart) && m.Action.Question != patient.WhichLines && isLittle(m.frame.Held.Power)
}

// failed are the checks of the cylinder that was stated which did not pass, and the
// number of those that did: lines or one of the blocks stood out.
func (t blockWork) failed(checks []int) (failed []int, passed int) {
	stated := t.found()
	for _, i := range checks {
		m := &t.moments[i]
		if math.Abs(m.marked.Cyl-stated.Cyl) > 0.01 || apart(m.marked.Axis, stated.Axis) > pointerRoom {
			continue
		}
		switch m.Answer.Kind {
		case patient.Lines, patient.Parallel, patient.Perpendicular, patient.Better:
			failed = append(failed, i)
		case patient.Alike, patient.Unsure, patient.Worse, patient.Same, patient.Blurred:
			passed++
		}
	}
	return failed, passed
}
