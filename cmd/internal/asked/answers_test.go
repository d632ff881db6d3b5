package asked

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/sim/chart"
	"conoid/sim/method"
	"conoid/sim/patient"
)

func TestEveryQuestionCanBeAnswered(t *testing.T) {
	for _, q := range patient.Questions() {
		assert.NotEmpty(t, Kinds(q), q)
	}
	assert.Empty(t, Kinds("weather"))
}

// Lines are named from one side of the group to the other, as a patient names them;
// the last of a dial is the neighbour of the first.
func TestNamedLines(t *testing.T) {
	assert.Equal(t, patient.Alike, Named(nil).Kind)
	assert.Equal(t, []float64{80, 90, 100}, Named([]float64{100, 80, 90}).Lines)
	a := Named([]float64{0, 10, 170})
	assert.Equal(t, []float64{170, 0, 10}, a.Lines)
	label, ok := method.Middle(a.Lines)
	require.True(t, ok)
	assert.InDelta(t, 90, label, 1e-9)
	assert.Equal(t, []float64{50}, Named([]float64{50}).Lines)
}

func rows() (out []patient.RowRead) {
	for _, size := range chart.RowSizes() {
		out = append(out, patient.RowRead{LogMAR: size, Shown: "CDEFH"})
	}
	return out
}

// A row of five letters is 0.10 logMAR, a letter a fifth of it (Bailey and Lovie 1976).
func TestReadTo(t *testing.T) {
	a := ReadTo(rows(), 7, 0)
	assert.Equal(t, patient.Read, a.Kind)
	assert.InDelta(t, 0.3, a.LogMAR, 1e-9)
	assert.Len(t, a.Rows, 8)
	a = ReadTo(rows(), 7, 2)
	assert.InDelta(t, 0.26, a.LogMAR, 1e-9)
	assert.Equal(t, "CD...", a.Rows[8].Said)
	assert.Equal(t, 2, a.Rows[8].Right())
	assert.InDelta(t, -0.3, ReadTo(rows(), 13, 4).LogMAR, 1e-9, "below the last row there is none")
	assert.Equal(t, patient.Blurred, ReadTo(rows(), -1, 3).Kind)
}

// Answers differ as the examiner hears them, on either side of each limit.
func TestWhenAnswersDiffer(t *testing.T) {
	read := func(v float64) patient.Answer { return patient.Answer{Kind: patient.Read, LogMAR: v} }
	kind := func(k patient.Kind) patient.Answer { return patient.Answer{Kind: k} }
	for _, c := range []struct {
		mine, theirs patient.Answer
		want         bool
	}{
		{kind(patient.Left), kind(patient.Left), false},
		{kind(patient.Left), kind(patient.Right), true},
		{kind(patient.Alike), kind(patient.Unsure), false},
		{kind(patient.Same), kind(patient.Unsure), false},
		{kind(patient.Same), kind(patient.Smaller), true},
		{kind(patient.Alike), kind(patient.Blurred), true},
		{read(0.20), read(0.16), false},
		{read(0.20), read(0.15), true},
		{read(0.20), kind(patient.Blurred), true},
		{Named([]float64{90}), Named([]float64{80, 90, 100}), false},
		{Named([]float64{90}), Named([]float64{80, 90}), true},
		{Named([]float64{0}), Named([]float64{170, 0, 10}), false},
		{Named([]float64{0}), Named([]float64{90}), true},
		{Named([]float64{0, 90}), Named([]float64{90}), false}, // lines across each other have no middle: the last counts
	} {
		assert.Equal(t, c.want, Reply{Mine: c.mine, Theirs: c.theirs}.Differs(), "%v %v", c.mine, c.theirs)
	}
}
