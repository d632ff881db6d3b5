package sitting

import (
	"testing"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"

	"github.com/stretchr/testify/assert"
)

func TestTheSittingBeginsWithTheObjectiveResult(t *testing.T) {
	t.Parallel()
	s := Start(nobody("+1.00/+1.75x125"), Seeded(1))
	for _, f := range s.State().Frames {
		assert.Equal(t, optics.SphereOf(2.75), f.Lenses[optics.Back], "a minus cylinder, whatever was written")
		assert.Equal(t, optics.CylinderOf(-1.75, 35), f.Lenses[optics.Front1])
	}
	assert.Equal(t, [2]bool{}, s.State().Covered)
	assert.Equal(t, chart.NoChart, s.State().Chart)
	assert.Empty(t, s.Events())
	assert.Zero(t, s.Steps())
	assert.Zero(t, s.State().Seconds)
	_, ok := s.EndPoint(Right)
	assert.False(t, ok)

	s = Start(nobody("plano"), Seeded(1))
	assert.Equal(t, optics.NewFrame(optics.UsualVertex), s.State().Frames[0], "nothing found, nothing in the frame")
}

// A lens change, a chart shown and a question are a step each; an unbroken turn
// of a cylinder or of the arrow is one.
func TestStepsAreCounted(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-0.75/-1.75x35"), Seeded(1))
	for _, c := range []struct {
		lens, chart, question int // that the action adds
		action                Action
	}{
		{0, 0, 0, Action{Do: Cover, Eye: Left}},
		{0, 0, 0, Action{Do: Explain}},
		{0, 1, 0, Action{Do: Show, Chart: chart.Arrow}},
		{0, 1, 0, Action{Do: Point, Axis: 20}},
		{0, 0, 0, Action{Do: Point, Axis: 21}},
		{0, 0, 0, Action{Do: Point, Axis: 22}},
		{0, 0, 1, Action{Do: Ask, Question: patient.WhichLimb}},
		{0, 0, 1, Action{Do: Ask, Question: patient.WhichLimb}},
		{0, 1, 0, Action{Do: Point, Axis: 25}},
		{1, 0, 0, Action{Do: Turn, Axis: 36}},
		{0, 0, 0, Action{Do: Turn, Axis: 37}},
		{1, 0, 0, Action{Do: Turn, Eye: Left, Axis: 37}},
		{1, 0, 0, Action{Do: Turn, Axis: 38}},
		{1, 0, 0, Action{Do: Put, Lens: piece("-0.50x90")}},
		{1, 0, 0, Action{Do: Turn, Cell: In(optics.Front2), Axis: 80}},
		{1, 0, 0, Action{Do: Turn, Cell: In(optics.Front1), Axis: 30}},
		{0, 0, 0, Action{Do: Note, Field: "fan axis", Text: "30"}},
		{1, 0, 0, Action{Do: Turn, Cell: In(optics.Front1), Axis: 31}},
		{1, 0, 0, Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-1.00")}},
		{1, 0, 0, Action{Do: Take, Cell: In(optics.Front2)}},
		{1, 0, 0, Action{Do: Hold, Lens: piece("+0.50")}},
		{0, 0, 1, Action{Do: Ask, Question: patient.WithLens}},
		{0, 0, 0, Action{Do: Lower}},
		{0, 0, 0, Action{Do: Uncover, Eye: Left}},
		{0, 0, 0, Action{Do: End, Rx: stated("-1.00/-2.00x30")}},
	} {
		before := s.Steps()
		do(t, s, c.action)
		want := Steps{before.Lens + c.lens, before.Chart + c.chart, before.Question + c.question}
		assert.Equal(t, want, s.Steps(), "%+v", c.action)
		assert.Equal(t, want.Lens+want.Chart+want.Question, s.Steps().Total())
	}
}

func TestTimePasses(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00/-0.50x90"), Seeded(1))
	last := 0.0
	for _, a := range []Action{
		{Do: Cover, Eye: Left}, {Do: Show, Chart: chart.Fan}, {Do: Ask, Question: patient.WhichLines},
		{Do: Exchange, Lens: piece("-0.50")}, {Do: Exchange, Lens: piece("-0.25"), OldFirst: true}, {Do: Turn, Axis: 80}, {Do: Explain},
	} {
		e := do(t, s, a)
		assert.Greater(t, e.At, last, "%+v", a)
		last = e.At
	}
	assert.InDelta(t, last, s.State().Seconds, 0.05)
}

func TestLensesGoWhereTheyBelong(t *testing.T) {
	t.Parallel()
	s := Start(nobody("plano"), Seeded(1))
	cell := func(a Action) string { return do(t, s, a).Action.Cell.String() }
	assert.Equal(t, "front 1", cell(Action{Do: Put, Lens: piece("-1.00x30")}), "a cylinder stands before the sphere's cell")
	assert.Equal(t, "back", cell(Action{Do: Put, Lens: piece("+0.50")}))
	assert.Equal(t, "front 2", cell(Action{Do: Put, Lens: piece("+0.25")}))
	assert.Equal(t, "front 3", cell(Action{Do: Put, Lens: piece("occluder")}))
	assert.Equal(t, "front 3", cell(Action{Do: Take, Lens: piece("occluder")}))
	assert.Equal(t, "front 2", cell(Action{Do: Take, Lens: piece("+0.25")}), "the one that is named")
	assert.Equal(t, "back", cell(Action{Do: Take, Lens: piece("+0.50")}))
	assert.Equal(t, "front 2", cell(Action{Do: Put, Lens: piece("-0.50x60")}))
	assert.Equal(t, "front 3", cell(Action{Do: Put, Lens: piece("-0.25x60")}))
	assert.Equal(t, "back", cell(Action{Do: Put, Lens: piece("-0.75x60")}), "the last that is free")
	assert.Equal(t, "front 1", cell(Action{Do: Turn, Cell: In(optics.Front1), Axis: 31}))
	assert.Equal(t, optics.NewFrame(optics.UsualVertex), s.State().Frames[1], "the other eye's frame is not touched")
}

func TestExchangeKeepsTheAxis(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00/-1.00x35"), Seeded(1))
	for _, written := range []string{"-1.25 cyl", "\u22121.50 DC", "-1.75 cylinder"} {
		e := do(t, s, Action{Do: Exchange, Lens: piece(written)})
		assert.Equal(t, In(optics.Front1), e.Action.Cell)
		assert.Equal(t, 35.0, s.State().Frames[0].Lenses[optics.Front1].Axis)
	}
	assert.Equal(t, optics.CylinderOf(-1.75, 35), s.State().Frames[0].Lenses[optics.Front1])
	do(t, s, Action{Do: Exchange, Lens: piece("-1.75x40")})
	assert.Equal(t, optics.CylinderOf(-1.75, 40), s.State().Frames[0].Lenses[optics.Front1], "unless another is named")
	do(t, s, Action{Do: Exchange, Lens: piece("-0.50")})
	assert.Equal(t, optics.SphereOf(-0.5), s.State().Frames[0].Lenses[optics.Back], "a sphere takes the sphere's place")
	do(t, s, Action{Do: Turn, Axis: 180})
	assert.Equal(t, optics.CylinderOf(-1.75, 180), s.State().Frames[0].Lenses[optics.Front1])
}

// What was understood stands in the event, so that a replay needs no guess.
func TestEventsSayWhatWasUnderstood(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00/-1.00x35"), Seeded(1))
	assert.Equal(t, Action{Do: Exchange, Eye: Right, Cell: In(optics.Front1), Lens: piece("-1.25x35")}, do(t, s, Action{Do: Exchange, Lens: piece("\u22121.25 cyl")}).Action)
	assert.Equal(t, Action{Do: Cover, Eye: Right}, do(t, s, Action{Do: Cover}).Action)
	assert.Equal(t, Action{Do: Note, Field: "fog", Text: "+0.50"}, do(t, s, Action{Do: Note, Field: FogField, Text: " +0.50 "}).Action)
	assert.Equal(t, "+0.50", s.State().Card["fog"])
	assert.Equal(t, 0.3, *do(t, s, Action{Do: Show, Chart: chart.Letter}).Action.Size)
	assert.Equal(t, stated("-1.00/-0.50x90"), do(t, s, Action{Do: End, Rx: stated("-1.00/-0.50x90")}).Action.Rx)
	for i, e := range s.Events() {
		assert.Equal(t, i+1, e.N)
	}
}

func TestStateIsACopy(t *testing.T) {
	t.Parallel()
	s := Start(nobody("-1.00"), Seeded(1))
	do(t, s, Action{Do: Note, Field: "fog", Text: "+0.50"}, Action{Do: Show, Chart: chart.Letters})
	st := s.State()
	st.Card["fog"], st.Rows[0].Shown, st.Frames[0].Lenses[0] = "x", "x", optics.Pinhole()
	s.Events()[0].Action.Text = "x"
	assert.Equal(t, "+0.50", s.State().Card["fog"])
	assert.NotEqual(t, "x", s.State().Rows[0].Shown)
	assert.Equal(t, optics.SphereOf(-1), s.State().Frames[0].Lenses[0])
	assert.Equal(t, "+0.50", s.Events()[0].Action.Text)
}
