package scoring

import (
	"cmp"
	"math"
	"slices"

	"conoid/scoring/evidence"
	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

// Heard is an answer about a claim of the end point, and what it says of it. Values
// are labels in degrees for the axis, dioptres of minus cylinder, without its sign, for
// the cylinder, and for the sphere dioptres more plus than was stated.
type Heard struct {
	evidence.Vote
	Said    fact.Fact `json:"said"`
	Nothing bool      `json:"nothing,omitempty"` // a dial on which no line stood out: there is no value
	Unfit   Unfit     `json:"unfit,omitempty"`   // why it supports nothing; empty when it does

	near bool // at another axis, but not at quite another
}

// hearing finds the answers about each claim.
type hearing struct{ *trace }

// Unfit is why an answer supports nothing.
type Unfit string

// The reasons.
const (
	OtherEyeOpen Unfit = "other-eye"
	LedOn        Unfit = "led"
	NotFogged    Unfit = "fog"      // the back focal line behind the retina
	ThroughLens  Unfit = "cylinder" // a cylinder in, where the whole astigmatism is asked about
	AboutPower   Unfit = "power"    // a line along the cylinder or across it, once its axis was asked about
	ElsewhereAt  Unfit = "axis"     // arrow or cylinder at another axis than was stated
)

// Name is the ID of its words.
func (u Unfit) Name() string { return "unfit." + string(u) }

// behindRoom is how far behind the retina, in dioptres, the back focal line may
// stand and still count as on it: half of the least difference of blur that people
// notice (Optom Vis Sci 1989;66:545: 0.05 to 0.07 D, taken whole for a line that is
// rounded to quarters). The project's choice.
const behindRoom = 0.06

// checkedRoom is the same once more plus was seen to blur: a line that stands half of
// LittlePlus behind is as blurred with it as without, and half a step of the lenses
// more cannot be told from that.
const checkedRoom = method.LittlePlus/2 + slack

// checked reports whether, before an answer, more plus was seen to blur a dial or the
// arrow through the sphere that is worn, or a weaker one.
func (t hearing) checked(m *moment) bool {
	return slices.ContainsFunc(fogging(t).morePlus(), func(l look) bool {
		return l.event < m.N && l.fog <= m.fog+slack && l.kind == patient.Worse
	})
}

// pointerRoom is how far, in degrees, the arrow may point from the cylinder when the
// blocks are asked about: closer than anybody sets it. The project's choice.
const pointerRoom = 3

// otherRound is how far, in degrees, the cylinder may stand from the axis that was
// stated, for its power to be the same question: then 2 C sin t is a third of it. The
// project's choice.
const otherRound = 10

// unfit is why an answer on lines supports nothing, whatever it is about.
func (t hearing) unfit(m *moment) Unfit {
	switch {
	case m.fellow:
		return OtherEyeOpen
	case m.Action.Leading != "":
		return LedOn
	case m.fog < -behindRoom && !(m.fog > -checkedRoom && t.checked(m)):
		return NotFogged
	}
	return ""
}

func heard(m *moment, at float64, way method.Way, unfit Unfit) Heard {
	return Heard{Vote: evidence.Vote{Event: m.N, At: at, Way: way}, Said: said(m.Answer), Unfit: unfit}
}

// fit are the votes of those answers that support something.
func fit(all []Heard) (out []evidence.Vote) {
	for _, h := range all {
		if h.Unfit == "" {
			out = append(out, h.Vote)
		}
	}
	return out
}

// onArrow are the answers about the limbs of the arrow.
func (t hearing) onArrow() (out []Heard) {
	for _, i := range t.arrows() {
		m := &t.moments[i]
		way, ok := method.Turn(m.Answer.Kind)
		if !ok {
			continue
		}
		why := t.unfit(m)
		if why == "" && !m.plain() {
			why = ThroughLens
		}
		out = append(out, heard(m, float64(m.State.Pointer), way, why))
	}
	return out
}

// onDial are the answers about a dial without a cylinder, by the label of the lines
// that stood out.
func (t hearing) onDial() (out []Heard) {
	through := t.onDialThrough()
	for _, i := range t.dials() {
		m := &t.moments[i]
		l, ok := label(m.Answer)
		if !ok && !t.nothingStoodOut(m) || slices.ContainsFunc(through, func(h Heard) bool { return h.Event == m.N }) {
			continue
		}
		why := t.unfit(m)
		switch begun := t.axisBegun(); {
		case why != "" || m.plain():
		case ok && begun >= 0 && begun < i:
			why = AboutPower
		default:
			why = ThroughLens
		}
		h := heard(m, l, method.Stay, why)
		h.Nothing = !ok
		out = append(out, h)
	}
	return out
}

// nothingStoodOut reports whether a dial was called alike, or nothing could be told of
// it in no more than the usual fog.
func (t hearing) nothingStoodOut(m *moment) bool {
	switch m.Answer.Kind {
	case patient.Alike, patient.Unsure:
		return true
	case patient.Blurred:
		return m.fog <= method.MostFog+slack
	}
	return false
}

// onBlocks are the answers about the blocks, by the cylinder in the frame; a little
// plus may be held up.
func (t hearing) onBlocks(axis float64) (out []Heard) {
	for _, i := range t.where(t.asked(patient.WhichBlock), func(m *moment) bool { return m.sees }) {
		m := &t.moments[i]
		way, ok := method.Strengthen(m.Answer.Kind)
		if !ok || m.holding() && !(m.frame.Held.Kind == optics.SphereLens && isLittle(m.frame.Held.Power)) {
			continue
		}
		why := t.unfit(m)
		pointer := float64(m.State.Pointer)
		beside := !m.plain() && apart(pointer, m.marked.Axis) > pointerRoom+grain
		if why == "" && (beside || apart(pointer, axis) > otherRound+grain) {
			why = ElsewhereAt
		}
		h := heard(m, tidy(-m.marked.Cyl+0), way, why)
		h.near = !beside && apart(pointer, axis) <= 2*otherRound+grain
		out = append(out, h)
	}
	return out
}

// onSphere are what comparisons, colours and letters say through the cylinder that
// was stated.
func (t hearing) onSphere() (out []Heard) {
	for _, i := range t.asked(patient.WithLens, patient.OneOrTwo, patient.WhichColour) {
		m := &t.moments[i]
		if !m.State.Chart.Is(chart.LetterChart) && !m.State.Chart.Is(chart.ColourChart) {
			continue
		}
		if h, ok := t.compared(m); ok {
			out = append(out, h)
		}
	}
	return append(out, t.lettersCompared(out)...)
}

// widestPairOfSpheres is how far apart, in dioptres, two spheres may be that are compared:
// a wider step tells no quarter.
const widestPairOfSpheres = 0.50

// compared is what one comparison says: between two spheres at their middle. Of the
// spheres for the colours the last at which red is still the clearer is taken (taught
// so): red sends no further than where it was seen, and green a step on.
func (t hearing) compared(m *moment) (h Heard, ok bool) {
	now, through := t.beyondEnd(m)
	if !through || m.Answer == nil {
		return Heard{}, false
	}
	why := Unfit("")
	switch {
	case m.fellow:
		why = OtherEyeOpen
	case m.Action.Leading != "":
		why = LedOn
	}
	if m.Action.Question == patient.WhichColour {
		way, ok := method.Colour(m.Answer.Kind)
		if way == method.Stay || DefocusEquivalent(m.residual) > 1+slack {
			return Heard{}, false
		}
		return heard(m, tidy(now+method.SphereStep/2), way, why), ok
	}
	was := now - m.frame.Held.Rx().Power().M
	if m.Action.Question == patient.OneOrTwo {
		k := fogging(t).lastChange(m.N)
		if k == 0 {
			return Heard{}, false
		}
		if was, ok = t.beyondEnd(t.before(k)); !ok {
			return Heard{}, false
		}
	}
	by := now - was
	accept, ok := method.Accept(m.Answer.Kind, by)
	if !ok || math.Abs(by) < slack || math.Abs(by) > widestPairOfSpheres+slack {
		return Heard{}, false
	}
	way := method.Less
	if accept == (by > 0) {
		way = method.More
	}
	return heard(m, tidy(was+by/2), way, why), true
}

// reading is what was read through one sphere: the mean of all times.
type reading struct {
	at     float64 // dioptres more plus than was stated
	logMAR float64
	events []int
	unfit  Unfit
}

// readings are those through the cylinder that was stated, with letters to the
// threshold, from the least plus on.
func (t hearing) readings() (out []reading) {
	at := map[float64]*reading{}
	for _, i := range t.letters() {
		m := &t.moments[i]
		d, ok := t.beyondEnd(m)
		if !ok || m.Action.Size != nil {
			continue
		}
		d = math.Round(d*8) / 8
		r := at[d]
		if r == nil {
			r = &reading{at: d}
			at[d] = r
		}
		v := unread
		if m.Answer.Kind == patient.Read {
			v = m.Answer.LogMAR
		}
		n := float64(len(r.events))
		r.logMAR = (r.logMAR*n + v) / (n + 1)
		r.events = append(r.events, i)
		switch {
		case m.fellow:
			r.unfit = OtherEyeOpen
		case m.Action.Leading != "":
			r.unfit = LedOn
		}
	}
	for _, r := range at {
		out = append(out, *r)
	}
	slices.SortFunc(out, func(a, b reading) int { return cmp.Compare(a.at, b.at) })
	return out
}

// unread stands for an acuity when nothing is read, logMAR.
const unread = 1.3

// lettersCompared are what the letters say of each pair of neighbouring spheres:
// that less plus gains, or that it does not. Between the two gains the patient's word
// decides, which is a vote of its own, and without one whoever examines: such letters
// go with what was stated, unless a step before it less plus gained nothing.
func (t hearing) lettersCompared(words []Heard) (out []Heard) {
	ways := map[float64]method.Way{}
	for _, h := range words {
		ways[h.At] = h.Way
	}
	all := t.readings()
	for i := len(all) - 1; i > 0; i-- { // from the most plus on
		less, more := all[i-1], all[i]
		by := more.at - less.at
		if by > widestPairOfSpheres+slack {
			continue
		}
		gain, quarters := more.logMAR-less.logMAR, by/method.SphereStep
		at := tidy(less.at + by/2)
		way := method.More
		_, said := ways[at]
		switch {
		case gain >= method.GainAlone*quarters-grain:
			way = method.Less
		case gain < method.GainWithWord*quarters-grain:
		case said:
			continue
		case at > 0 && ways[tidy(at+method.SphereStep)] != method.More:
			way = method.Less
		}
		if !said {
			ways[at] = way
		}
		why := less.unfit
		if why == "" {
			why = more.unfit
		}
		last := max(less.events[len(less.events)-1], more.events[len(more.events)-1])
		out = append(out, Heard{
			Vote:  evidence.Vote{Event: last, At: at, Way: way},
			Said:  fact.New("said.read-both", "less", fact.LogMAR(less.logMAR), "more", fact.LogMAR(more.logMAR)),
			Unfit: why,
		})
	}
	slices.Reverse(out)
	return out
}

// roundAxis is the axis at which the blocks were asked about last, for who stated no
// cylinder.
func (t hearing) roundAxis() float64 {
	for _, i := range slices.Backward(t.asked(patient.WhichBlock)) {
		return float64(t.moments[i].State.Pointer)
	}
	return 180
}
