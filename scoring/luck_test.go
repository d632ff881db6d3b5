package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/patient"
)

func TestOtherwise(t *testing.T) {
	kind := func(k patient.Kind) *patient.Answer { return &patient.Answer{Kind: k} }
	named := func(phi ...float64) *patient.Answer { return &patient.Answer{Kind: patient.Lines, Lines: phi} }
	for _, c := range []struct {
		a, b *patient.Answer
		want bool
	}{
		{kind(patient.Left), kind(patient.Right), true},
		{kind(patient.Alike), kind(patient.Parallel), true},
		{kind(patient.Alike), kind(patient.Unsure), false}, // the same for the examiner
		{kind(patient.Same), kind(patient.Smaller), false}, // neither is an improvement
		{kind(patient.Better), kind(patient.Smaller), true},
		{kind(patient.Changing), named(30), false}, // no noise: the lines do change
		{named(60), named(50, 60, 70), false},
		{named(60), named(60, 70), false},
		{named(60), named(80), true},
		{named(60), named(70), false},
		{named(60), named(71), true}, // more than a line of the fan apart
		{named(179), named(8), false},
		{named(179), named(10), true},
		{named(170), named(0, 10), true},
		{named(170), named(0), false},
		{named(60), kind(patient.Alike), true},
	} {
		assert.Equal(t, c.want, otherwise(c.a, c.b), "%v and %v", c.a, c.b)
		assert.Equal(t, c.want, otherwise(c.b, c.a), "%v and %v", c.b, c.a)
	}
}

// Letters are luck when they are more than 0.11 logMAR from what is expected, to either
// side.
func TestLuckOfLetters(t *testing.T) {
	for off, want := range map[float64]int{0: 0, 0.109: 0, 0.111: 1, -0.109: 0, -0.111: 1} {
		expected := 0.20
		m := answered(patient.ReadLetters, expected+off, func(m *moment) { m.Expected = &expected })
		assert.Len(t, luckOf(told(t, "-1.00/-2.00x30", "", m).trace), want, "%v", off)
	}
}
