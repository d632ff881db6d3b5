package sitting

import (
	"math"
	"strings"
	"testing"

	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// refused asserts that an action is refused with a reason that names what is
// needed, and that nothing came of it.
func refused(t *testing.T, s *Sitting, a Action, helps string) {
	t.Helper()
	state, events, steps, focus, questions := s.State(), s.Events(), s.Steps(), s.focus, s.Questions()
	e, err := s.Do(a)
	var refusal *Refusal
	require.ErrorAs(t, err, &refusal, "%+v", a)
	assert.Contains(t, strings.ToLower(refusal.Reason), strings.ToLower(helps), "%+v", a)
	assert.Equal(t, Event{}, e)
	assert.Equal(t, state, s.State(), "%+v", a)
	assert.Equal(t, events, s.Events(), "%+v", a)
	assert.Equal(t, steps, s.Steps(), "%+v", a)
	assert.Equal(t, focus, s.focus, "%+v", a)
	assert.Equal(t, questions, s.Questions(), "%+v", a)
}

func size(v float64) *float64 { return &v }

func TestImpossibleActionsAreRefused(t *testing.T) {
	t.Parallel()
	// A sphere in the back cell, a cylinder in front 1, the left eye open.
	s := Start(nobody("-0.75/-1.75x35"), Seeded(1))

	refused(t, s, Action{Do: Ask, Question: patient.WhichLines}, "show one")
	refused(t, s, Action{Do: Point, Axis: 30}, "show the arrow")
	do(t, s, Action{Do: Show, Chart: Fan}, Action{Do: Cover, Eye: Left})

	for _, c := range []struct {
		helps  string
		action Action
	}{
		// verbs, eyes, cells
		{"no action", Action{}},
		{"no action \"dance\"", Action{Do: "dance"}},
		{"right or left", Action{Do: Cover, Eye: "both"}},
		{"there is no cell", Action{Do: Put, Cell: In(optics.Cells), Lens: piece("+0.50")}},

		// lenses that are not in the set
		{"the nearest are", Action{Do: Put, Lens: piece("+0.30")}},
		{"the nearest are", Action{Do: Put, Lens: piece("-9.25")}},
		{"the nearest is", Action{Do: Put, Lens: piece("+21.00")}},
		{"minus only", Action{Do: Put, Lens: piece("+1.00x30")}},
		{"the nearest", Action{Do: Put, Lens: piece("-7.00x30")}},
		{"which lens", Action{Do: Put}},
		{"which lens", Action{Do: Exchange, Cell: In(optics.Back)}},
		{"axis", Action{Do: Put, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1, Axis: 0.5}}},
		{"axis", Action{Do: Put, Lens: optics.Lens{Kind: optics.CylinderLens, Power: -1, Axis: 181}}},
		{"needs an axis", Action{Do: Put, Lens: piece("-1.00 cyl")}},
		{"needs an axis", Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-1.00 cyl")}},

		// cells that are full or empty
		{"is full", Action{Do: Put, Cell: In(optics.Back), Lens: piece("+0.50")}},
		{"is empty", Action{Do: Take, Cell: In(optics.Front3)}},
		{"is empty", Action{Do: Exchange, Cell: In(optics.Front3), Lens: piece("+0.50")}},
		{"no such lens", Action{Do: Take, Lens: piece("+5.00")}},
		{"name the cell", Action{Do: Take}},
		{"in the frame to exchange", Action{Do: Exchange, Lens: piece("pinhole")}},

		{"first", Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-0.50"), OldFirst: true, NewFirst: true}},

		// axes
		{"no cylinder", Action{Do: Turn, Cell: In(optics.Back), Axis: 20}},
		{"no cylinder", Action{Do: Turn, Cell: In(optics.Front2), Axis: 20}},
		{"1 to 180", Action{Do: Turn, Axis: 0}},
		{"1 to 180", Action{Do: Turn, Axis: 181}},
		{"1 to 180", Action{Do: Turn, Axis: -5}},

		// hand-held lenses and the occluder
		{"no lens is held up", Action{Do: Lower}},
		{"cannot be held up", Action{Do: Hold, Lens: piece("+2.00")}},
		{"cannot be held up", Action{Do: Hold, Lens: piece("-0.25x90")}},
		{"which lens", Action{Do: Hold}},
		{"covered already", Action{Do: Cover, Eye: Left}},
		{"open already", Action{Do: Uncover, Eye: Right}},

		// charts
		{"no chart \"mural\"", Action{Do: Show, Chart: "mural"}},
		{"there are fan", Action{Do: Show}},
		{"in steps of 0.1", Action{Do: Show, Chart: Letter, Size: size(0.35)}},
		{"in steps of 0.1", Action{Do: Show, Chart: Letter, Size: size(1.1)}},
		{"show the arrow", Action{Do: Point, Axis: 30}},

		// questions for another chart, or about nothing
		{"ask which", Action{Do: Ask, Question: patient.WhichLimb}},
		{"ask which", Action{Do: Ask, Question: patient.WhichBlock}},
		{"ask which", Action{Do: Ask, Question: patient.ReadLetters}},
		{"ask which", Action{Do: Ask, Question: patient.WhichColour}},
		{"ask which", Action{Do: Ask, Question: "how are you?"}},
		{"ask which", Action{Do: Ask}},
		{"hold one up", Action{Do: Ask, Question: patient.WithLens}},
		{"no lens was changed", Action{Do: Ask, Question: patient.OneOrTwo}},
		{"a row", Action{Do: Ask, Question: patient.WhichLines, Size: size(0.1)}},

		// the record card and the end point
		{"it has vision", Action{Do: Note, Field: "weather", Text: "fair"}},
		{"1 to 200", Action{Do: Note, Field: "vision", Text: "  "}},
		{"1 to 200", Action{Do: Note, Field: "vision", Text: strings.Repeat("x", 201)}},
		{"which correction", Action{Do: End}},
		{"no correction", Action{Do: End, Rx: &optics.Rx{Sphere: -1, Cyl: -2}}},
		{"no correction", Action{Do: End, Rx: &optics.Rx{Sphere: -1, Cyl: -2, Axis: 200}}},
		{"no correction", Action{Do: End, Rx: &optics.Rx{Sphere: -100}}},
		{"no correction", Action{Do: End, Rx: &optics.Rx{Sphere: math.NaN()}}},
		{"is not the acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{Written: "6/6", LogMAR: 0.1}}},
		{"is not the acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{Written: "quite good"}}},
		{"is not the acuity", Action{Do: End, Rx: stated("-1.00/-2.00x30"), Acuity: patient.Acuity{LogMAR: 0.1}}},
	} {
		refused(t, s, c.action, c.helps)
	}

	do(t, s, Action{Do: Hold, Lens: piece("+0.50")})
	refused(t, s, Action{Do: Hold, Lens: piece("+0.25")}, "lower it first")
	refused(t, s, Action{Do: Lower, Eye: Left}, "before the left eye")
	do(t, s, Action{Do: Lower}, Action{Do: Show, Chart: Arrow})
	for _, a := range []int{0, -1, 181} {
		refused(t, s, Action{Do: Point, Axis: a}, "1 to 180")
	}
	do(t, s, Action{Do: Show, Chart: Letters})
	refused(t, s, Action{Do: Ask, Question: patient.ReadLetters, Size: size(0.25)}, "in steps of 0.1")
	do(t, s, Action{Do: Put, Lens: piece("+0.25")}, Action{Do: Put, Lens: piece("pinhole")})
	refused(t, s, Action{Do: Put, Lens: piece("+0.50")}, "all cells")
	refused(t, s, Action{Do: Exchange, Lens: piece("+0.50")}, "name the cell")
}

func TestNothingGoesAfterTheEnd(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00"), Seeded(1))
	refused(t, s, Action{Do: Turn, Axis: 20}, "no such lens")
	do(t, s, Action{Do: Show, Chart: Fan}, Action{Do: End, Rx: stated("-1.00/-0.50x90"), Acuity: acuity("6/6-2")})
	for _, a := range []Action{
		{Do: End, Rx: stated("-1.25")}, {Do: Ask, Question: patient.WhichLines}, {Do: Put, Lens: piece("+0.50")},
		{Do: Cover}, {Do: Explain}, {Do: Note, Field: "vision", Text: "6/6"}, {Do: "dance"},
	} {
		refused(t, s, a, "over")
	}
	end, ok := s.EndPoint()
	require.True(t, ok)
	assert.Equal(t, rx("-1.00/-0.50x90"), end.Rx)
	assert.True(t, end.Acuity.Given())
	assert.Equal(t, "6/6-2", end.Acuity.Written)
	assert.InDelta(t, 0.04, end.Acuity.LogMAR, 1e-9)
}
