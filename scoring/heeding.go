package scoring

import (
	"math"
	"slices"

	"conoid/cases"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Followed is one informative answer, and whether what it asked for was done
// before the end point.
type Followed struct {
	Claim  cases.Claim `json:"claim"`
	Events fact.Events `json:"events"` // in which it was heard
	Said   fact.Fact   `json:"said"`
	From   float64     `json:"from"` // the value that was asked about, on the scale of its claim
	To     float64     `json:"to"`   // the value that came next
	Heeded bool        `json:"heeded"`
}

// following judges whether answers were followed.
type following struct{ hearing }

// tried is a value that was asked about, with all answers in a row.
type tried struct {
	at    float64
	votes []Heard
}

// inARow are answers about one value after the other.
func inARow(all []Heard) (out []tried) {
	for _, h := range all {
		if n := len(out); n == 0 || math.Abs(out[n-1].at-h.At) > grain {
			out = append(out, tried{at: h.At})
		}
		last := &out[len(out)-1]
		last.votes = append(last.votes, h)
	}
	return out
}

// way is where most answers of a row send.
func (t tried) way() method.Way {
	sum := 0
	for _, h := range t.votes {
		sum += int(h.Way)
	}
	switch {
	case sum > 0:
		return method.More
	case sum < 0:
		return method.Less
	}
	return method.Stay
}

func (t tried) events() (out []int) {
	for _, h := range t.votes {
		out = append(out, h.Event)
	}
	return out
}

// followed judges the answers in a row about one scale, on which less takes a
// value from another, and a step is what is usually gone. Final is the value that was
// stated; without it the last answer is not judged, and nor is one that was taken back
// more often than it was given. An answer is followed when what
// comes next is on the side where it sends; a look one step to the other side is
// allowed, when the answer is followed after it. Answers that send nowhere allow
// anything. Of two neighbours that send to each other the lesser may stay, and with
// between either.
func followed(claim cases.Claim, all []Heard, final *float64, less func(a, b float64) float64, step float64, between bool) (out []Followed) {
	row := inARow(all)
	values := make([]float64, 0, len(row)+1)
	for _, r := range row {
		values = append(values, r.at)
	}
	if final != nil {
		values = append(values, *final)
	}
	most := map[float64]method.Way{}
	for _, v := range evidence.Views(votesOf(all)) {
		most[v.At] = v.Way
	}
	for i, r := range row {
		way := float64(r.way())
		if way == 0 || i+1 >= len(values) || most[r.at] != r.way() {
			continue
		}
		moved := less(values[i+1], r.at) * way
		heeded := moved > grain
		if !heeded && math.Abs(moved) <= step+grain && i+2 < len(values) {
			heeded = less(values[i+2], r.at)*way > grain
			if math.Abs(values[i+2]-r.at) <= grain {
				moved = 0 // looked, and went back
			}
		}
		if !heeded && math.Abs(moved) <= grain && (way > 0 || between) {
			// The next value on that side sends back: the two have it between them.
			heeded = slices.ContainsFunc(row, func(o tried) bool {
				d := less(o.at, r.at) * way
				return d > grain && d <= step+grain && float64(o.way()) == -way
			})
		}
		out = append(out, Followed{claim, r.events(), r.votes[len(r.votes)-1].Said, r.at, values[i+1], heeded})
	}
	return out
}

// heeding are all informative answers of a sitting.
func (t following) heeding(claims []Claim) (out []Followed) {
	stated := t.found()
	var axis, power *float64
	if t.end != nil {
		p := tidy(-stated.Cyl + 0)
		power = &p
		if stated.Cyl != 0 {
			axis = &stated.Axis
		}
	}
	out = append(out, t.dialFollowed()...)
	turned := func(a, b float64) float64 {
		if d := apart(a, b); d > 45 {
			return 0
		}
		return optics.AxisDifference(b, a)
	}
	out = append(out, followed(cases.AxisClaim, t.turning(), axis, turned, method.ArrowStep, true)...)
	out = append(out, followed(cases.CylinderClaim, t.stepping(), power, func(a, b float64) float64 { return a - b }, t.cylinderStep(), false)...)
	out = append(out, t.fogFollowed()...)
	for _, c := range claims {
		if c.Name == cases.SphereClaim {
			out = append(out, sphereFollowed(c)...)
		}
	}
	for i := range out {
		if c := t.claim(out[i].Claim); c != nil && c.unborne() && (t.neverWorn(c.Name) || c.farOff()) {
			out[i].Heeded = false // what was stated undid it
		}
	}
	return out
}

// cylinderStep is the widest step of the minus cylinders that were tried, in dioptres:
// strong ones come in halves.
func (t following) cylinderStep() float64 {
	step := method.CylinderStep
	for _, i := range t.blocks() {
		c := t.moments[i].marked.Cyl
		if next, ok := t.setup.Room.Set.Neighbour(optics.CylinderOf(c, 180), -1); ok {
			step = max(step, c-next.Power)
		}
	}
	return step
}

// What was stated so far from what was heard, in degrees and dioptres, was not moved
// there by answers: the project's choice.
const (
	farAxis  = 45
	farPower = 0.75
)

// farOff reports whether a claim is far from what the answers say.
func (c *Claim) farOff() bool {
	switch {
	case c.Fit == nil || c.Stated == nil:
		return false
	case c.Name == cases.AxisClaim:
		return apart(*c.Fit, *c.Stated) > farAxis
	}
	return c.Name == cases.CylinderClaim && math.Abs(*c.Fit-*c.Stated) > farPower
}

// neverWorn reports whether a claim is not what stood in the frame when it was made,
// by more than a band.
func (t following) neverWorn(name cases.Claim) bool {
	stated, worn := t.found(), t.moments[len(t.moments)-1].marked.MinusCyl()
	switch name {
	case cases.AxisClaim:
		return stated.Cyl != 0 && worn.Cyl != 0 && apart(stated.Axis, worn.Axis) > cases.AxisBand(stated.Cyl)+grain
	case cases.CylinderClaim:
		return math.Abs(stated.Cyl-worn.Cyl) > method.CylinderStep+grain
	}
	return math.Abs(stated.SE()-worn.SE()) > method.SphereStep+grain
}

// turning are the answers about the arrow with the cylinder out, and stepping those
// about the blocks, fit or not: who hears them does not know.
func (t following) turning() (out []Heard) {
	for _, h := range t.onArrow() {
		if h.Unfit != ThroughLens {
			out = append(out, h)
		}
	}
	return out
}

func (t following) stepping() (out []Heard) {
	for _, h := range t.onBlocks(t.roundAxis()) {
		if h.Unfit != ElsewhereAt {
			out = append(out, h)
		}
	}
	return out
}

// dialFollowed is whether the arrow or the cylinder went to what the dial named.
func (t following) dialFollowed() []Followed {
	at, ok := t.deciding()
	if !ok {
		return nil
	}
	l, ok := label(t.moments[at].Answer)
	if !ok {
		return nil
	}
	f := Followed{Claim: cases.AxisClaim, Events: fact.Events{at}, Said: said(t.moments[at].Answer), From: l, To: l}
	for i := at + 1; i < len(t.moments); i++ {
		m := &t.moments[i]
		switch {
		case m.Action.Question == patient.WhichLimb:
			f.To = float64(m.State.Pointer)
		case !m.plain():
			f.To = m.marked.Axis
		default:
			continue
		}
		f.Heeded = apart(f.To, l) <= dialRoom+method.FineArrowStep+grain
		return []Followed{f}
	}
	if t.end == nil {
		return nil
	}
	return []Followed{f}
}

// fogFollowed are the checks of the fog in which more plus was not worse: then the
// sphere must change before the arrow or the blocks are asked about.
func (t following) fogFollowed() (out []Followed) {
	for _, l := range (fogging{t.trace}).morePlus() {
		m := &t.moments[l.event]
		if m.Action.Question != patient.WithLens {
			continue
		}
		if accept, ok := method.Accept(l.kind, m.frame.Held.Power); !ok || !accept {
			continue
		}
		f := Followed{Claim: cases.AxisClaim, Events: fact.Events{l.event}, Said: said(m.Answer), From: l.fog, To: l.fog}
		for i := l.event + 1; i < len(t.moments) && !f.Heeded; i++ {
			n := &t.moments[i]
			if math.Abs(n.fog-l.fog) > slack {
				f.To, f.Heeded = n.fog, true
			}
			if n.Action.Question == patient.WhichLimb || n.Action.Question == patient.WhichBlock {
				break
			}
		}
		out = append(out, f)
	}
	return out
}

// sphereFollowed are the answers about the sphere, by the value that they are about:
// each is followed by what is stated on the side where it sends. One that all others
// overrule is not judged: letters, words and colours about a quarter often say this and
// that.
func sphereFollowed(c Claim) (out []Followed) {
	for _, v := range evidence.Views(votesOf(c.Heard)) {
		f := Followed{Claim: c.Name, From: v.At, Heeded: -v.At*float64(v.Way) > 0}
		overruled := c.Fit != nil && (*c.Fit-v.At)*float64(v.Way) < 0
		if v.Way == method.Stay || overruled && !f.Heeded {
			continue
		}
		for _, vote := range v.Votes {
			f.Events = append(f.Events, vote.Event)
		}
		i := slices.IndexFunc(c.Heard, func(h Heard) bool { return h.Event == v.Votes[len(v.Votes)-1].Event && h.At == v.At })
		f.Said = c.Heard[i].Said
		out = append(out, f)
	}
	return out
}

// votesOf are all votes, fit or not.
func votesOf(all []Heard) (out []evidence.Vote) {
	for _, h := range all {
		out = append(out, h.Vote)
	}
	return out
}

// enoughAnswers is how many informative answers show whether somebody listens;
// fewer count in proportion. The project's choice.
const enoughAnswers = 6

// enoughWithoutCylinder is the same where it was borne out that there is no cylinder:
// no arrow and no blocks are left to be asked about. The project's choice.
const enoughWithoutCylinder = 3

// enough is how many answers are, for these claims.
func enough(claims []Claim) int {
	for _, c := range claims {
		if c.Name == cases.CylinderClaim && c.Support == evidence.Supported && *c.Stated == 0 {
			return enoughWithoutCylinder
		}
	}
	return enoughAnswers
}

// heedingFull is the share beyond chance from which nothing is lost: one answer in
// seven may be let pass, as people contradict themselves. The project's choice.
const heedingFull = 0.7

// heedingLeast is the share beyond chance below which no claim counts as more than
// weak. The project's choice.
const heedingLeast = 0.3

// beyondChance is the share of answers that were heeded, with what chance alone
// gives, a half, set to none; fewer than enough count in proportion.
func beyondChance(all []Followed, enough int) float64 {
	if len(all) == 0 {
		return 0
	}
	n := 0
	for _, f := range all {
		if f.Heeded {
			n++
		}
	}
	share := max(0, 2*float64(n)/float64(len(all))-1)
	return share * min(1, float64(len(all))/float64(enough))
}
