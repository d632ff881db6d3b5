package scoring

import (
	"math"
	"slices"

	"conoid/scoring/evidence"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// throughCylinder is what a dial says through a cylinder of its axis: a line 45
// degrees away sends it there, and another line, or none, leaves it.
func throughCylinder(m *moment) (way method.Way, ok bool) {
	if l, named := label(m.Answer); named {
		return method.TowardLine(m.marked.Axis, l), true
	}
	return method.Stay, m.Answer.Kind == patient.Alike
}

// onDialThrough are the answers about a dial through the cylinder that say something
// of its axis. They count once it was asked about with the cylinder out; lines along
// the axis or across it are about the power.
func (t hearing) onDialThrough() (out []Heard) {
	begun := t.axisBegun()
	for _, i := range t.dials() {
		m := &t.moments[i]
		way, ok := throughCylinder(m)
		if m.plain() || begun < 0 || i < begun || !ok || way == method.Stay && m.Answer.Kind != patient.Alike {
			continue
		}
		out = append(out, heard(m, m.marked.Axis, way, t.unfit(m)))
	}
	return out
}

// axisBegun is when the axis was first asked about with the cylinder out, or below 0.
func (t hearing) axisBegun() int {
	return slices.IndexFunc(t.moments, func(m moment) bool { return m.plain() && t.aboutAxis(&m) && t.unfit(&m) == "" })
}

// aboutAxis reports whether something was asked of the tested eye about a dial or the
// arrow.
func (t hearing) aboutAxis(m *moment) bool {
	q := m.Action.Question
	return m.sees && m.Answer != nil && (q == patient.WhichLines || q == patient.WhichLimb)
}

// dialAlone is how far a dial without the arrow bears the stated axis out: it does
// when the dial agrees through the cylinder.
func (t claiming) dialAlone(dial []Heard, named float64) evidence.Support {
	open := slices.ContainsFunc(dial, func(h Heard) bool { return h.Unfit == "" && !h.Nothing })
	switch off := apart(named, t.found().Axis); {
	case !open:
		return evidence.None
	case t.dialBrackets():
		return evidence.Supported
	case off > 2*dialRoom+grain:
		return evidence.Contradicted
	case off > dialRoom+grain:
		return evidence.None
	case t.dialAgrees():
		return evidence.Supported
	}
	return evidence.Weak
}

// dialAgrees reports whether a dial was shown once more through the cylinder at the
// axis that was stated, and most times no line stood out 45 degrees away, or as often
// to one side as to the other; or whether it brackets it.
func (t claiming) dialAgrees() bool {
	stays, turns, sum := 0, 0, 0
	for _, i := range t.dials() {
		m := &t.moments[i]
		if m.plain() || t.unfit(m) != "" || apart(m.marked.Axis, t.found().Axis) > pointerRoom {
			continue
		}
		if way, ok := throughCylinder(m); ok && way == method.Stay {
			stays++
		} else if ok {
			turns++
			sum += int(way)
		}
	}
	return stays > turns || turns > 1 && sum == 0 || t.dialBrackets()
}

// dialBrackets reports whether on either side of the stated axis, a line of the fan
// away at most, a dial through the cylinder sent back to it.
func (t claiming) dialBrackets() bool {
	below, above := false, false
	for _, v := range fit(t.onDialThrough()) {
		off := optics.AxisDifference(t.found().Axis, v.At)
		if math.Abs(off) <= dialRoom+grain {
			below = below || off < 0 && v.Way == method.More
			above = above || off > 0 && v.Way == method.Less
		}
	}
	return below && above
}

// dialAsked reports whether a dial was shown without the cylinder, whatever was said.
func (t claiming) dialAsked() bool {
	return len(t.where(t.dials(), func(m *moment) bool { return m.plain() && t.unfit(m) == "" })) > 0
}

// grew reports whether the blocks asked for a stronger cylinder at an axis: across the
// right one they would ask for a weaker one from the first on.
func (t claiming) grew(axis float64) bool {
	return slices.ContainsFunc(evidence.Views(fit(t.onBlocks(axis))), func(v evidence.View) bool { return v.Way == method.More })
}

// nearby are the votes about the blocks at another axis than was stated: the round
// should have been gone once more.
func nearby(all []Heard) (out []evidence.Vote) {
	for _, h := range all {
		if h.Unfit == ElsewhereAt && h.near {
			out = append(out, h.Vote)
		}
	}
	return out
}

// lastRound lifts what the blocks say of a power from nothing, or less, to weak when
// the last round alone bears it out: what was asked after the axis was last looked
// for, or the dial looked at.
func (t claiming) lastRound(s evidence.Support, votes []evidence.Vote, power float64) evidence.Support {
	if s == evidence.Supported || s == evidence.Weak {
		return s
	}
	from := 0
	for i := range t.moments {
		if t.aboutAxis(&t.moments[i]) && slices.ContainsFunc(votes, func(v evidence.Vote) bool { return v.Event > i }) {
			from = i
		}
	}
	votes = slices.DeleteFunc(slices.Clone(votes), func(v evidence.Vote) bool { return v.Event < from })
	if f, ok := evidence.OnLine(votes, spreadOfBlocks, reachOfBlocks); ok && t.bracketed(f, power) == evidence.Supported {
		return evidence.Weak
	}
	return s
}

// untried reports whether a power lies beyond all that the blocks were asked about.
func untried(all []Heard, power float64) bool {
	least, most := power+1, power-1
	for _, h := range all {
		least, most = min(least, h.At), max(most, h.At)
	}
	return power < least-0.01 || power > most+0.01
}

// atMostWeak is a support that nothing makes more of than weak, or contradicts.
func atMostWeak(s evidence.Support) evidence.Support {
	switch s {
	case evidence.Supported:
		return evidence.Weak
	case evidence.Contradicted:
		return evidence.None
	}
	return s
}
