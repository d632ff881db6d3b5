package sitting

import (
	"math"
	"strings"
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused asserts that an action is refused for a reason, by the ID of its fact,
// and that nothing came of it.
func refused(t *testing.T, s *Sitting, a Action, id string) {
	t.Helper()
	state, events, steps, focus, questions := s.State(), s.Events(), s.Steps(), s.effort.Focus, s.Questions()
	e, err := s.Do(a)
	var refusal *Refusal
	require.ErrorAs(t, err, &refusal, "%+v", a)
	assert.Equal(t, id, refusal.ID, "%+v", a)
	assert.Equal(t, Event{}, e)
	assert.Equal(t, state, s.State(), "%+v", a)
	assert.Equal(t, events, s.Events(), "%+v", a)
	assert.Equal(t, steps, s.Steps(), "%+v", a)
	assert.Equal(t, focus, s.effort.Focus, "%+v", a)
	assert.Equal(t, questions, s.Questions(), "%+v", a)
}

func size(v float64) *float64 { return &v }

func TestImpossibleActionsAreRefused(t *testing.T) {
	t.Parallel()
	// A sphere in the back cell, a cylinder in front 1, the left eye open.
	s := Start(nobody("-0.75/-1.75x35"), Seeded(1))

	refused(t, s, Action{Do: Ask, Question: patient.WhichLines}, "sitting.nothing-shown")
	refused(t, s, Action{Do: Point, Axis: 30}, "sitting.no-arrow")
	do(t, s, Action{Do: Show, Chart: chart.Fan}, Action{Do: Cover, Eye: Left})

	for _, c := range []struct {
		id     string
		action Action
	}{
		// verbs, eyes, cells
		{"sitting.no-action", Action{}},
		{"sitting.no-action", Action{Do: "dance"}},
		{"sitting.no-eye", Action{Do: Cover, Eye: "both"}},
		{"sitting.no-cell", Action{Do: Put, Cell: In(optics.Cells), Lens: piece("+0.50")}},

		// lenses that are not in the set
		{"optics.between", Action{Do: Put, Lens: piece("+0.30")}},
		{"optics.between", Action{Do: Put, Lens: piece("-9.25")}},
		{"optics.nearest", Action{Do: Put, Lens: piece("+21.00")}},
		{"optics.minus-only", Action{Do: Put, Lens: piece("+1.00x30")}},
		{"optics.nearest", Action{Do: Put, Lens: piece("-7.00x30")}},
		{"sitting.which-lens", Action{Do: Put}},
		{"sitting.which-lens", Action{Do: Exchange, Cell: In(optics.Back)}},
		{"optics.axis-not-set", Action{Do: Put, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1, Axis: 0.5}}},
		{"optics.axis-not-set", Action{Do: Put, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1, Axis: 181}}},
		{"sitting.which-axis", Action{Do: Put, Lens: piece("-1.00 cyl")}},
		{"sitting.which-axis", Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-1.00 cyl")}},

		// cells that are full or empty
		{"sitting.cell-full", Action{Do: Put, Cell: In(optics.Back), Lens: piece("+0.50")}},
		{"sitting.cell-empty", Action{Do: Take, Cell: In(optics.Front3)}},
		{"sitting.put-in", Action{Do: Exchange, Cell: In(optics.Front3), Lens: piece("+0.50")}},
		{"sitting.no-such-lens", Action{Do: Take, Lens: piece("+5.00")}},
		{"sitting.which-cell", Action{Do: Take}},
		{"sitting.nothing-to-exchange", Action{Do: Exchange, Lens: piece("pinhole")}},

		{"sitting.one-first", Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-0.50"), OldFirst: true, NewFirst: true}},

		// axes
		{"sitting.nothing-to-turn", Action{Do: Turn, Cell: In(optics.Back), Axis: 20}},
		{"sitting.nothing-to-turn", Action{Do: Turn, Cell: In(optics.Front2), Axis: 20}},
		{"sitting.no-axis", Action{Do: Turn, Axis: 0}},
		{"sitting.no-axis", Action{Do: Turn, Axis: 181}},
		{"sitting.no-axis", Action{Do: Turn, Axis: -5}},

		// hand-held lenses and the occluder
		{"sitting.not-held", Action{Do: Lower}},
		{"optics.not-held", Action{Do: Hold, Lens: piece("+2.00")}},
		{"optics.not-held", Action{Do: Hold, Lens: piece("-0.75x90")}},
		{"sitting.which-held", Action{Do: Hold}},
		{"sitting.covered", Action{Do: Cover, Eye: Left}},
		{"sitting.open", Action{Do: Uncover, Eye: Right}},

		// charts
		{"sitting.no-chart", Action{Do: Show, Chart: "mural"}},
		{"sitting.no-chart", Action{Do: Show}},
		{"sitting.no-letter", Action{Do: Show, Chart: chart.Letter, Size: size(0.35)}},
		{"sitting.no-letter", Action{Do: Show, Chart: chart.Letter, Size: size(1.1)}},
		{"sitting.no-arrow", Action{Do: Point, Axis: 30}},

		// questions for another chart, or about nothing
		{"sitting.other-question", Action{Do: Ask, Question: patient.WhichLimb}},
		{"sitting.other-question", Action{Do: Ask, Question: patient.WhichBlock}},
		{"sitting.other-question", Action{Do: Ask, Question: patient.ReadLetters}},
		{"sitting.other-question", Action{Do: Ask, Question: patient.WhichColour}},
		{"sitting.no-question", Action{Do: Ask, Question: "how are you?"}},
		{"sitting.no-question", Action{Do: Ask}},
		{"sitting.nothing-held", Action{Do: Ask, Question: patient.WithLens}},
		{"sitting.nothing-changed", Action{Do: Ask, Question: patient.OneOrTwo}},
		{"sitting.no-row", Action{Do: Ask, Question: patient.WhichLines, Size: size(0.1)}},

		// the record card and the end point
		{"sitting.no-field", Action{Do: Note, Field: "weather", Text: "fair"}},
		{"sitting.entry-length", Action{Do: Note, Field: "vision", Text: "  "}},
		{"sitting.entry-length", Action{Do: Note, Field: "vision", Text: strings.Repeat("x", 201)}},
		{"sitting.which-correction", Action{Do: End}},
		{"sitting.no-correction", Action{Do: End, Rx: &optics.Rx{Sphere: -1, Cyl: -2}}},
		{"sitting.no-correction", Action{Do: End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 200}}},
		{"sitting.no-correction", Action{Do: End, Rx: &optics.Rx{Sphere: -100}}},
		{"sitting.no-correction", Action{Do: End, Rx: &optics.Rx{Sphere: math.NaN()}}},
		{"sitting.other-acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{Written: "6/6", LogMAR: 0.1}}},
		{"sitting.other-acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{Written: "quite good"}}},
		{"sitting.other-acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{LogMAR: 0.1}}},
	} {
		refused(t, s, c.action, c.id)
	}

	do(t, s, Action{Do: Hold, Lens: piece("+0.50")})
	refused(t, s, Action{Do: Hold, Lens: piece("+0.25")}, "sitting.held-already")
	refused(t, s, Action{Do: Lower, Eye: Left}, "sitting.not-held")
	do(t, s, Action{Do: Lower}, Action{Do: Show, Chart: chart.Arrow})
	for _, a := range []int{0, -1, 181} {
		refused(t, s, Action{Do: Point, Axis: a}, "sitting.no-label")
	}
	do(t, s, Action{Do: Show, Chart: chart.Letters})
	refused(t, s, Action{Do: Ask, Question: patient.ReadLetters, Size: size(0.25)}, "sitting.no-row")
	do(t, s, Action{Do: Put, Lens: piece("+0.25")}, Action{Do: Put, Lens: piece("pinhole")})
	refused(t, s, Action{Do: Put, Lens: piece("+0.50")}, "sitting.all-full")
	refused(t, s, Action{Do: Exchange, Lens: piece("+0.50")}, "sitting.which-cell")
}

func TestNothingGoesAfterTheEnd(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00"), Seeded(1))
	refused(t, s, Action{Do: Turn, Axis: 20}, "sitting.no-such-lens")
	do(t, s, Action{Do: Show, Chart: chart.Fan}, Action{Do: End, Rx: stated("-1.00/-0.50x90"), Acuity: acuity("6/6-2")})
	for _, a := range []Action{
		{Do: End, Rx: stated("-1.25")}, {Do: Ask, Question: patient.WhichLines}, {Do: Put, Lens: piece("+0.50")},
		{Do: Cover}, {Do: Explain}, {Do: Note, Field: "vision", Text: "6/6"}, {Do: "dance"},
	} {
		refused(t, s, a, "sitting.over")
	}
	end, ok := s.EndPoint(Right)
	require.True(t, ok)
	assert.Equal(t, rx("-1.00/-0.50x90"), end.Rx)
	assert.True(t, end.Acuity.Given())
	assert.Equal(t, "6/6-2", end.Acuity.Written)
	assert.InDelta(t, 0.04, end.Acuity.LogMAR, 1e-9)
}
