package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"conoid/cases"
	"conoid/sim/chart"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

func titles(stages []stage) (out []string) {
	for _, s := range stages {
		out = append(out, s.title.ID)
	}
	return out
}

func libraryCase(t *testing.T, id string) *cases.Case {
	c, err := cases.Find(id)
	require.NoError(t, err)
	return c
}

// The stages are those of the method, and in each the optics are as the method
// wants them: common practice.
func TestStagesOfTheMethod(t *testing.T) {
	c := libraryCase(t, "chapel-organist")
	s := sitting.Start(c.Setup(), sitting.Seeded(3))
	stages, found, err := stagesOf(s, 3)
	require.NoError(t, err)
	require.Equal(t, []string{"sheet.start", "sheet.fog", "sheet.fan", "sheet.arrow", "sheet.cylinder", "sheet.blocks", "sheet.end"}, titles(stages))
	at := func(i int) (front, back optics.FocalLine) { return stages[i].sight.Left.FocalLines() }

	assert.Equal(t, c.Of(c.Tested).Objective, stages[0].frame.Prescription(), "the start has the objective result in the frame")
	for i := 1; i <= 3; i++ {
		_, back := at(i)
		assert.Greater(t, back.Power, 0.2, "both lines lie before the retina")
		assert.Equal(t, optics.Lens{}, stages[i].frame.Lenses[optics.Front1], "and the cylinder is out")
	}
	_, back := at(2)
	require.Equal(t, patient.Lines, stages[2].answer.Kind)
	named, ok := optics.MeanAxis(stages[2].answer.Lines...)
	require.True(t, ok)
	assert.InDelta(t, 0, optics.AxisDifference(named, optics.PatientAngle(back.Angle)), 12, "the line named runs as the back line does")
	interval := func(i int) float64 { front, back := at(i); return front.Power - back.Power }
	assert.Less(t, interval(4), interval(3))
	assert.Less(t, interval(5), interval(4), "the lines come together")
	assert.Equal(t, found.Rx, stages[6].frame.Prescription())
	assert.Equal(t, chart.Letters, stages[6].view)
}

func TestStagesWithoutACylinder(t *testing.T) {
	c := libraryCase(t, "chapel-organist")
	e := c.Of(c.Tested)
	e.Error, e.Objective = optics.Rx{Sphere: -1}, optics.Rx{Sphere: -1}
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	stages, _, err := stagesOf(s, 1)
	require.NoError(t, err)
	assert.Equal(t, "sheet.start", stages[0].title.ID)
	assert.Equal(t, "sheet.end", stages[len(stages)-1].title.ID)
	wrong, err := astray(s, wrongWays(c, e.Error), 1)
	require.NoError(t, err)
	assert.Equal(t, []string{"sheet.no-fog"}, titles(wrong))
}

func TestWrongWays(t *testing.T) {
	c := libraryCase(t, "chapel-organist")
	rx := c.Of(c.Tested).Error
	s := sitting.Start(c.Setup(), sitting.Seeded(1))
	stages, err := astray(s, wrongWays(c, rx), 1)
	require.NoError(t, err)
	require.Len(t, stages, 4)
	lines := func(i int) (front, back optics.FocalLine) { return stages[i].sight.Left.FocalLines() }

	front, back := lines(0)
	assert.True(t, front.Power > 0 && back.Power < 0, "without fog the lines lie on either side of the retina")
	front, back = lines(1)
	assert.Less(t, front.Power-back.Power, -rx.Cyl/2, "a cylinder that is left in hides most of the astigmatism")
	front, back = lines(2)
	assert.InDelta(t, -2*rx.Cyl, front.Power-back.Power, 0.15, "a cylinder at right angles to where it belongs doubles it")
	_, right := rx.Power().Scale(-1).FocalLines()
	assert.InDelta(t, 0, optics.AxisDifference(right.Angle, back.Angle), 5, "the clear line is the same")
	assert.Equal(t, 2*rx.Cyl, 2*stages[3].frame.Lenses[optics.Front1].Power)
}

// A picture shows what is on the chart: the fan hangs above the middle.
func TestFramed(t *testing.T) {
	fan := framed(chart.Named(chart.Fan).Draw(chart.Hung{Labels: chart.ByAxis}))
	letters := framed(chart.LetterSheet(rows))
	assert.Equal(t, fan.Size(), letters.Size())
	assert.Less(t, fan.Min.Y, letters.Min.Y)
	assert.InDelta(t, 256, (letters.Min.Y+letters.Max.Y)/2, 2)
	assert.GreaterOrEqual(t, fan.Min.Y, 0)
}
