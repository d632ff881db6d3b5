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
	"conoid/sim/sitting"
)

// moment is how things stood after one event, in the terms of the rules. All
// powers are in dioptres; residuals are positive in front of the retina, and
// are against the clinical error, so that the end point leaves none.
type moment struct {
	sitting.Standing
	frame    optics.Frame // of the tested eye
	marked   optics.Rx    // the plain sum of what stands in its cells, with a minus cylinder
	residual optics.Power // at the cornea, relaxed, with what is held up
	settled  optics.Power // the same without what is held up
	fog      float64      // how far the back line would stand in front of the retina with the worn sphere alone
	sees     bool         // the tested eye sees past its frame
	fellow   bool         // the other eye sees too
}

// trace is a sitting as the rules look at it. The place of a moment in moments
// is the number of its event; the first is the beginning.
type trace struct {
	setup     sitting.Setup
	truth     optics.Rx // of the tested eye, with a minus cylinder
	objective optics.Rx // likewise
	needs     optics.Power
	moments   []moment
	end       *sitting.EndPoint // nil when the sitting was broken off

	arrowBalance float64 // where the limbs of the arrow balance without noise: a label
	claims       []Claim // of the end point, once they are judged
	heeded       []Followed
	given        given
}

func traceOf(s *sitting.Sitting) (*trace, error) {
	standings, err := s.Retrace()
	if err != nil {
		return nil, err
	}
	setup := s.Setup()
	tested := setup.Eyes[setup.Tested.Index()]
	t := &trace{setup: setup, truth: tested.Error.MinusCyl(), objective: tested.Objective.MinusCyl()}
	t.needs = optics.Required(t.truth, setup.Room.Vertex, sitting.TruthDistance)
	if end, ok := s.EndPoint(setup.Tested); ok {
		t.end = &end
	}
	t.arrowBalance = s.ArrowBalance(setup.Tested)
	for _, st := range standings {
		t.moments = append(t.moments, t.moment(st))
	}
	return t, nil
}

func (t *trace) moment(st sitting.Standing) moment {
	i := t.setup.Tested.Index()
	m := moment{Standing: st, frame: st.State.Frames[i]}
	m.marked = m.frame.Prescription()
	m.residual = t.against(m.frame)
	m.settled = t.against(withoutHeld(m.frame))
	m.fog = t.fogOf(m.frame)
	m.sees = open(st.State, i)
	m.fellow = open(st.State, 1-i)
	return m
}

func open(s sitting.State, i int) bool { return !s.Covered[i] && !s.Frames[i].Blocked() }

func withoutHeld(f optics.Frame) optics.Frame {
	f.Held = optics.Lens{}
	return f
}

// against is the residual that a frame leaves, relaxed.
func (t *trace) against(f optics.Frame) optics.Power {
	return f.AtCornea(t.setup.Room.Distance).Sub(t.needs)
}

// behind is the residual that a single lens in the back cell leaves, relaxed.
func behind(t *trace, rx optics.Rx) optics.Power {
	return optics.Required(rx, t.setup.Room.Vertex, t.setup.Room.Distance).Sub(t.needs)
}

// fogOf is where the back focal line would stand with the sphere of a frame
// alone, its cylinder written as minus. That is where a cylinder that is put in
// at the right axis leaves it, so that it tells the fog whether or not a
// cylinder is in.
func (t *trace) fogOf(f optics.Frame) float64 {
	alone := optics.NewFrame(t.setup.Room.Vertex)
	alone.Lenses[optics.Back] = optics.SphereOf(withoutHeld(f).Effective(t.setup.Room.Distance).MinusCyl().Sphere)
	_, back := t.against(alone).FocalLines()
	return back.Power
}

// slack is half the smallest step that lenses are changed in usually, 0.125 D:
// what stands in cells before one another is never just its plain sum.
const slack = 0.0625

// claim is one claim of the end point; nil without one.
func (t *trace) claim(name cases.Claim) *Claim {
	for i := range t.claims {
		if t.claims[i].Name == name {
			return &t.claims[i]
		}
	}
	return nil
}

// borne reports whether a claim needs no finding: the answers bear it out, or it was
// not to be made.
func (t *trace) borne(name cases.Claim) bool {
	c := t.claim(name)
	return c == nil || !c.Needed || c.Support == evidence.Supported
}

// free are the steps that cost nothing: explaining, notes, and the second and third
// time that a question is put.
func (t *trace) free() (n int) {
	last, times := sitting.Action{}, 0
	for i := 1; i < len(t.moments); i++ {
		a := t.moments[i].Action
		switch {
		case a.Do == sitting.Explain || a.Do == sitting.Note:
		case a.Do != sitting.Ask:
			times = 0
		case times > 0 && a.Question == last.Question && sameSize(a.Size, last.Size):
			if times++; times <= mostAsked {
				n++
			}
		default:
			last, times = a, 1
		}
	}
	return n
}

// asked are the numbers of the events in which one of some questions was
// answered.
func (t *trace) asked(questions ...patient.Question) []int {
	return t.where(t.questions(), func(m *moment) bool {
		return slices.Contains(questions, m.Action.Question) && !m.putOff()
	})
}

// putOff reports whether a question got no answer, but the wish to be shown it
// again: then it counts as not put yet.
func (m *moment) putOff() bool { return m.Answer != nil && m.Answer.Kind == patient.Again }

// where are those of some events for which a condition holds.
func (t *trace) where(events []int, is func(m *moment) bool) []int {
	var out []int
	for _, i := range events {
		if is(&t.moments[i]) {
			out = append(out, i)
		}
	}
	return out
}

// before is the moment before an event.
func (t *trace) before(i int) *moment { return &t.moments[max(i-1, 0)] }

// questions are all events in which anything was asked.
func (t *trace) questions() []int {
	var out []int
	for i, m := range t.moments {
		if m.Action.Do == sitting.Ask {
			out = append(out, i)
		}
	}
	return out
}

// dials are the questions about a dial with nothing held up.
func (t *trace) dials() []int {
	return t.where(t.asked(patient.WhichLines), func(m *moment) bool { return m.sees && !m.holding() })
}

// plainDials are those with no cylinder in the frame.
func (t *trace) plainDials() []int { return t.where(t.dials(), (*moment).plain) }

func (t *trace) arrows() []int {
	return t.where(t.asked(patient.WhichLimb), func(m *moment) bool { return m.sees })
}

// blocks are the questions about the blocks with a cylinder in the frame and
// nothing held up.
func (t *trace) blocks() []int {
	return t.where(t.asked(patient.WhichBlock), func(m *moment) bool { return m.sees && !m.holding() && !m.plain() })
}

// deciding is the question about a dial that the axis came from: the last one
// before the last answer about the blocks, and if there is any, one without a
// cylinder. Who notices that the fog was wrong, and begins again, is judged by
// the second beginning.
func (t *trace) deciding() (int, bool) {
	dials := t.plainDials()
	if len(dials) == 0 {
		dials = t.dials()
	}
	last := len(t.moments)
	if b := t.blocks(); len(b) > 0 {
		last = b[len(b)-1]
	}
	at, ok := 0, false
	for _, i := range dials {
		if i < last || !ok {
			at, ok = i, true
		}
	}
	return at, ok
}

// finalAxis is the axis of the cylinder that the work on the dial led to: of the
// last one in the frame at the blocks, or of what was stated. It is false when
// there was no cylinder.
func (t *trace) finalAxis() (float64, bool) {
	if b := t.blocks(); len(b) > 0 {
		return t.moments[b[len(b)-1]].marked.Axis, true
	}
	rx := t.found()
	return rx.Axis, rx.Cyl != 0
}

// found is what was stated, or what stands in the frame if nothing was, with a
// minus cylinder.
func (t *trace) found() optics.Rx {
	if t.end != nil {
		return t.end.Rx.MinusCyl()
	}
	return t.moments[len(t.moments)-1].marked.MinusCyl()
}

// astigmatic reports whether there is a cylinder that shows on a dial.
func (t *trace) astigmatic() bool { return t.truth.Cyl <= -method.FaintestCylinder }

// noneFound reports whether no cylinder was stated, and there is none that would
// show.
func (t *trace) noneFound() bool { return t.end != nil && t.end.Rx.Cyl == 0 && !t.astigmatic() }

func (m *moment) holding() bool { return m.frame.Held != (optics.Lens{}) }

// plain reports whether no cylinder stands in the frame.
func (m *moment) plain() bool {
	return !slices.ContainsFunc(m.frame.Lenses[:], func(l optics.Lens) bool { return l.Kind == optics.CylinderLens })
}

// label is the label in the middle of the lines that an answer names.
func label(a *patient.Answer) (float64, bool) {
	if a == nil || a.Kind != patient.Lines {
		return 0, false
	}
	return method.Middle(a.Lines)
}

// apart is how far two axes are apart, in degrees, 0 to 90.
func apart(a, b float64) float64 { return math.Abs(optics.AxisDifference(a, b)) }

// lines is where the focal lines of a residual stand.
func lines(p optics.Power) fact.Fact {
	front, back := p.FocalLines()
	if p.Astigmatism() < slack/2 {
		return fact.New("lines.focus", "at", place(p.M))
	}
	return fact.New("lines.both", "front", place(front.Power), "back", place(back.Power))
}

// place is where something stands that is so many dioptres in front of the
// retina.
func place(d float64) fact.Fact {
	switch {
	case math.Abs(d) < 0.005:
		return fact.New("place.on")
	case d > 0:
		return fact.New("place.before", "power", fact.Amount(d))
	}
	return fact.New("place.behind", "power", fact.Amount(-d))
}
