package scoring

import (
	"testing"

	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// told is a sitting as the rules look at it, put together by hand: what was asked and
// answered, and how things stood then. The last moment states the end point, unless that
// is "".
func told(t *testing.T, truth, stated string, moments ...moment) claiming {
	tr := &trace{moments: []moment{{}}, truth: rx(t, truth).MinusCyl()}
	tr.arrowBalance = tr.truth.Axis
	tr.setup.Tested = sitting.Right
	tr.setup.Room = sitting.Room{Distance: 6, Vertex: optics.UsualVertex}
	if stated != "" {
		s := rx(t, stated)
		tr.end = &sitting.EndPoint{Rx: s}
		last := moment{}
		if len(moments) > 0 {
			last = moments[len(moments)-1]
		}
		last.Event = sitting.Event{Action: sitting.Action{Do: sitting.End, Rx: &s}}
		moments = append(moments, last)
	}
	for i, m := range moments {
		m.N = i + 1
		tr.moments = append(tr.moments, m)
	}
	return claiming{hearing{tr}}
}

// claimed has the claims and the heeding worked out.
func (t claiming) claimed() claiming {
	t.claims = claimsOf(t.trace, cases.DefaultScheme().Claims)
	t.heeded = following(t).heeding(t.claims)
	return t
}

// answered is a question with its answer, on its usual chart, with half a dioptre of
// fog; said is a kind of answer, or for a dial the label that was named.
func answered(q patient.Question, said any, changes ...func(*moment)) moment {
	a := &patient.Answer{}
	switch v := said.(type) {
	case patient.Kind:
		a.Kind = v
	case int:
		a.Kind, a.Lines = patient.Lines, []float64{chart.AngleOf(float64(v))}
	case float64:
		a.Kind, a.LogMAR = patient.Read, v
		a.Rows = []patient.RowRead{{LogMAR: v, Shown: "KHN", Said: "KHX"}}
	}
	m := moment{sees: true, fog: 0.50, Standing: sitting.Standing{
		Event:     sitting.Event{Action: sitting.Action{Do: sitting.Ask, Question: q}, Answer: a},
		Noiseless: a,
	}}
	m.State.Chart = map[patient.Question]chart.Name{
		patient.WhichLines: chart.Fan, patient.WhichLimb: chart.Arrow, patient.WhichBlock: chart.Blocks, patient.WhichColour: chart.Duochrome,
	}[q]
	if m.State.Chart == "" {
		m.State.Chart = chart.Letters
	}
	for _, change := range changes {
		change(&m)
	}
	return m
}

// limbs, dial, blocks and sphere are the questions, at the label, the cylinder or the
// sphere that they are about.
func limbs(label int, k patient.Kind, changes ...func(*moment)) moment {
	return answered(patient.WhichLimb, k, append([]func(*moment){pointing(label)}, changes...)...)
}

func dial(said any, changes ...func(*moment)) moment {
	return answered(patient.WhichLines, said, changes...)
}

func blocks(cyl, axis float64, k patient.Kind, changes ...func(*moment)) moment {
	return answered(patient.WhichBlock, k, append([]func(*moment){pointing(int(axis)), wearing(0, cyl, axis)}, changes...)...)
}

// wearing puts lenses into the cells; a cylinder of 0 is none.
func wearing(sphere, cyl, axis float64) func(*moment) {
	return func(m *moment) {
		m.frame.Lenses = [optics.Cells]optics.Lens{}
		m.frame.Lenses[optics.Back] = optics.SphereOf(sphere)
		m.marked = optics.Rx{Sphere: sphere}
		if cyl != 0 {
			m.frame.Lenses[optics.Front1] = optics.CylinderOf(cyl, axis)
			m.marked = optics.Rx{Sphere: sphere, Cyl: cyl, Axis: axis}
		}
		m.State.Frames[0] = m.frame
	}
}

func holding(sphere float64) func(*moment) {
	return func(m *moment) { m.frame.Held = optics.SphereOf(sphere); m.State.Frames[0] = m.frame }
}

func pointing(label int) func(*moment) { return func(m *moment) { m.State.Pointer = label } }
func fogged(fog float64) func(*moment) { return func(m *moment) { m.fog = fog } }
func on(c chart.Name) func(*moment)    { return func(m *moment) { m.State.Chart = c } }
func led(m *moment)                    { m.Action.Leading = "alike" }
func bothOpen(m *moment)               { m.fellow = true }
func noiseless(a patient.Answer) func(*moment) {
	return func(m *moment) { m.Noiseless = &a }
}

func theOnly(t *testing.T, all []Heard) Heard {
	require.Len(t, all, 1)
	return all[0]
}
