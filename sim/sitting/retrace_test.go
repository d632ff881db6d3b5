package sitting

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
)

func TestRetrace(t *testing.T) {
	setup := person("scattered", 8, "-1.00/-2.00x30", "-1.00", "-1.00/-1.75x30")
	s := Start(setup, Seeded(3))
	do(t, s,
		Action{Do: Cover, Eye: Left},
		Action{Do: Take, Cell: In(optics.Front1)},
		Action{Do: Exchange, Cell: In(optics.Back), Lens: piece("-0.50")},
		Action{Do: Show, Chart: chart.Fan},
		Action{Do: Ask, Question: patient.WhichLines},
		Action{Do: Show, Chart: chart.Letters},
		Action{Do: Ask, Question: patient.ReadLetters},
		Action{Do: Hold, Lens: piece("+0.50")},
	)
	before, focus := asJSON(t, s.Events()), s.Accommodation()
	st, err := s.Retrace()
	require.NoError(t, err)
	assert.Equal(t, before, asJSON(t, s.Events()), "the sitting stays as it is")
	assert.Equal(t, focus, s.Accommodation())

	require.Len(t, st, 9, "one for the beginning, one for each event")
	assert.Zero(t, st[0].N)
	assert.Equal(t, "-1.00 / -1.75 x 30", st[0].State.Frames[0].Prescription().ASCII())
	last := st[8]
	assert.Equal(t, s.State(), last.State)
	assert.Equal(t, s.Accommodation(), last.Accommodation)
	assert.Equal(t, s.Events()[7], last.Event)

	require.NotNil(t, st[5].Noiseless)
	assert.Equal(t, 30.0, label(t, patient.Answer{Kind: patient.Lines, Lines: st[5].Noiseless.Lines[:1]}), "without noise the fan gives the axis")
	assert.Nil(t, st[5].Expected)
	require.NotNil(t, st[7].Expected)
	assert.InDelta(t, st[7].Answer.LogMAR, *st[7].Expected, 0.2)
	assert.Nil(t, st[8].Noiseless)
}

// What a person without noise says is what was said.
func TestRetraceOfANoiselessPerson(t *testing.T) {
	s := Start(person("noiseless", 0, "-1.00/-2.00x30", "-1.00", "-0.50"), Seeded(3))
	do(t, s, Action{Do: Cover, Eye: Left}, Action{Do: Show, Chart: chart.Fan}, Action{Do: Ask, Question: patient.WhichLines},
		Action{Do: Show, Chart: chart.Arrow}, Action{Do: Point, Axis: 20}, Action{Do: Ask, Question: patient.WhichLimb})
	st, err := s.Retrace()
	require.NoError(t, err)
	for _, m := range st {
		assert.Equal(t, m.Answer, m.Noiseless)
	}
}
