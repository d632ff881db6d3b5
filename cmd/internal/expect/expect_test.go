package expect_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/cmd/internal/expect"
	"conoid/sim/patient"
)

func TestAGuessIsReadAsItWasWritten(t *testing.T) {
	for text, g := range map[string]expect.Guess{
		"30": expect.LinesBetween(30, 30), "160-10": expect.LinesBetween(160, 10), "180": expect.LinesBetween(0, 180),
		"alike": {Kind: patient.Alike}, "row 0.3": {Kind: patient.Read, Row: 0.3}, "row -0.1": {Kind: patient.Read, Row: -0.1},
	} {
		assert.Equal(t, text, g.String())
		got, ok := expect.Parse(text)
		assert.True(t, ok, text)
		assert.Equal(t, g, got)
	}
	for _, text := range []string{"", "0", "181", "30-190", "row x"} {
		_, ok := expect.Parse(text)
		assert.False(t, ok, text)
	}
}

// The lines between two labels stand in the order of a patient's answer. A label is 90
// less the angle.
func TestTheLinesOfAGroup(t *testing.T) {
	assert.Equal(t, []float64{80, 90, 100, 110}, expect.LinesBetween(160, 10).Lines(10))
	assert.Equal(t, 30, expect.LinesBetween(160, 10).Wide())
	assert.Equal(t, []float64{60}, expect.LinesBetween(30, 30).Lines(10))
}

// Each threshold from both sides.
func TestWhatCountsAsRight(t *testing.T) {
	lines := func(angles ...float64) patient.Answer { return patient.Answer{Kind: patient.Lines, Lines: angles} }
	kind := func(k patient.Kind) patient.Answer { return patient.Answer{Kind: k} }
	read := func(row float64) patient.Answer { return patient.Answer{Kind: patient.Read, LogMAR: row} }
	row := func(r float64) expect.Guess { return expect.Guess{Kind: patient.Read, Row: r} }
	for name, one := range map[string]struct {
		guess  expect.Guess
		answer patient.Answer
		want   expect.Verdict
	}{
		"half a line":          {expect.LinesBetween(30, 30), lines(60, 70), expect.Right},
		"over half a line":     {expect.LinesBetween(30, 30), lines(60, 70, 80), expect.Near},
		"two lines":            {expect.LinesBetween(30, 30), lines(80), expect.Near},
		"over two lines":       {expect.LinesBetween(30, 30), lines(80, 90), expect.Off},
		"over the level line":  {expect.LinesBetween(90, 90), lines(170, 0), expect.Right},
		"a wide fork":          {expect.LinesBetween(140, 40), lines(90), expect.Right},
		"lines, but alike":     {expect.LinesBetween(30, 30), kind(patient.Alike), expect.Off},
		"alike":                {expect.Guess{Kind: patient.Alike}, kind(patient.Alike), expect.Right},
		"left for alike":       {expect.Guess{Kind: patient.Left}, kind(patient.Alike), expect.Near},
		"left for right":       {expect.Guess{Kind: patient.Left}, kind(patient.Right), expect.Off},
		"same for better":      {expect.Guess{Kind: patient.Same}, kind(patient.Better), expect.Near},
		"smaller for better":   {expect.Guess{Kind: patient.Smaller}, kind(patient.Better), expect.Off},
		"a row beside":         {row(0.3), read(0.2), expect.Right},
		"over a row beside":    {row(0.3), read(0.18), expect.Near},
		"two rows":             {row(0.3), read(0.5), expect.Near},
		"over two rows":        {row(0.3), read(0.52), expect.Off},
		"nothing was expected": {expect.Guess{}, kind(patient.Alike), expect.Open},
		"shown again":          {expect.Guess{Kind: patient.Alike}, kind(patient.Again), expect.Open},
		"cannot tell":          {expect.Guess{Kind: patient.Alike}, kind(patient.Unsure), expect.Open},
	} {
		assert.Equal(t, one.want, one.guess.Holds(one.answer), name)
	}
}

// All that can be expected can be written down, and each question but that for letters
// and lines has more than one.
func TestKindsOfEveryQuestion(t *testing.T) {
	for _, q := range patient.Questions() {
		kinds := expect.Kinds(q)
		if q != patient.ReadLetters {
			assert.GreaterOrEqual(t, len(kinds), 2, q)
		}
		for _, k := range kinds {
			g, ok := expect.Parse(expect.Guess{Kind: k}.String())
			assert.True(t, ok)
			assert.Equal(t, k, g.Kind)
		}
	}
}
