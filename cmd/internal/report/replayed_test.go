package report_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cases"
	"conoid/cmd/internal/report"
	"conoid/render/voice"
	"conoid/scoring"
	"conoid/scoring/evidence"
	"conoid/sim/fact"
	"conoid/sim/method"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// stepped is a report by hand, of a sitting with each thing that there is to say.
func stepped() *scoring.Report {
	ask := func(n int, q patient.Question) scoring.Moment {
		return scoring.Moment{Event: n, Action: sitting.Action{Do: sitting.Ask, Question: q}, Answer: &patient.Answer{}}
	}
	heard := func(n int, at float64, way method.Way, said string, why scoring.Unfit) scoring.Heard {
		return scoring.Heard{Vote: evidence.Vote{Event: n, At: at, Way: way}, Said: fact.New("said." + said), Unfit: why}
	}
	thirty, one := 30.0, 1.0
	return &scoring.Report{
		Path: []scoring.Moment{
			{Event: 1, Action: sitting.Action{Do: sitting.Point}},
			ask(2, patient.WhichLimb), ask(3, patient.WhichLimb), ask(4, patient.WithLens), ask(5, patient.WithLens), ask(6, patient.WhichBlock), ask(7, patient.ReadLetters),
			{Event: 8, Action: sitting.Action{Do: sitting.End}},
		},
		Claims: []scoring.Claim{
			{Name: cases.AxisClaim, Stated: &thirty, Fit: &thirty, Support: evidence.Supported, Heard: []scoring.Heard{
				heard(2, 20, method.More, "left", ""), heard(3, 40, method.Less, "right", scoring.NotFogged),
			}},
			{Name: cases.CylinderClaim, Stated: &one, Support: evidence.None, Heard: []scoring.Heard{heard(6, 1, method.Stay, "alike", "")}},
			{Name: cases.SphereClaim, Stated: new(float64), Support: evidence.Weak, Heard: []scoring.Heard{
				heard(7, 0.25, method.Less, "worse", ""), heard(7, -0.25, method.More, "same", ""),
			}},
		},
		Heeding: []scoring.Followed{
			{Claim: cases.AxisClaim, Events: fact.Events{2}, From: 20, Heeded: true},
			{Claim: cases.AxisClaim, Events: fact.Events{3}, From: 40},
			{Claim: cases.AxisClaim, Events: fact.Events{5}, Said: fact.New("said.same"), From: 0.5},
			{Claim: cases.SphereClaim, Events: fact.Events{7}, From: 0.25, Heeded: true},
		},
	}
}

func TestReplayed(t *testing.T) {
	r := stepped()
	for event, want := range map[int][]string{
		0: nil,
		1: nil,
		2: {"Axis: at 20: left clearer, turn on to greater labels; it was followed."},
		3: {"Axis: at 40: right clearer, turn back to smaller labels – counts for nothing: there was no fog; it was not followed."},
		4: {"By itself it says nothing of axis, cylinder or sphere."},
		5: {"The fog: the same, so the sphere has to change; it was not followed."},
		6: {"Cylinder: with −1.00 D: alike, no further."},
		7: {"Sphere: at +0.25 D from what was stated: worse, less plus; it was followed.", "Sphere: at −0.25 D from what was stated: the same, more plus."},
		8: {"Axis: 30 was stated; the answers say 30: found from both sides.", "Cylinder: −1.00 was stated: nothing that was heard says so.", "Sphere: Heard from one side only."},
		9: nil,
	} {
		assert.Equal(t, want, report.Replayed(voice.English, r, event), "%d", event)
	}
	assert.Equal(t, []string{"Achse: bei 40: rechts deutlicher, zurück zu kleineren Zahlen – zählt nicht: es war nicht genebelt; dem wurde nicht gefolgt."}, report.Replayed(german, r, 3))
	assert.Equal(t, []string{"Die Vernebelung: unverändert, also muss sich die Sphäre ändern; dem wurde nicht gefolgt."}, report.Replayed(german, r, 5))
}

// Without an end point nothing is claimed, and answers were followed or not all the
// same.
func TestReplayedWithoutAnEndPoint(t *testing.T) {
	r := stepped()
	r.Claims = nil
	assert.Equal(t, []string{"By itself it says nothing of axis, cylinder or sphere; it was followed."}, report.Replayed(voice.English, r, 2))
	assert.Equal(t, []string{"By itself it says nothing of axis, cylinder or sphere."}, report.Replayed(voice.English, r, 6))
	assert.Empty(t, report.Replayed(voice.English, r, 8))
}

// replayed is all that a replay says of a sitting; of every answer it says something.
func replayed(t *testing.T, v voice.Voice, r *scoring.Report) string {
	var b strings.Builder
	for _, m := range r.Path {
		lines := report.Replayed(v, r, m.Event)
		switch {
		case m.Answer != nil:
			assert.NotEmpty(t, lines, "event %d", m.Event)
		case m.Action.Do == sitting.End:
			assert.Len(t, lines, 3)
		default:
			assert.Empty(t, lines, "event %d", m.Event)
		}
		b.WriteString(strings.Join(lines, "\n") + "\n")
	}
	return b.String()
}
