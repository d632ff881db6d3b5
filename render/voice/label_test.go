package voice

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
	"conoid/sim/patient"
	"conoid/sim/sitting"
)

// The axis is 30 times the lower hour of the clearest line (common practice, the rule of
// 30), a line between two hours by the half hour: the label of a line, which is that
// axis, is told as the hour at which the line stands on a clock, 12 o'clock up and 3 to
// the right.
func TestLabelsAsHours(t *testing.T) {
	hour := map[float64]string{
		0.5: "12½", 1: "1", 1.5: "1½", 2: "2", 2.5: "2½", 3: "3", 3.5: "3½", 4: "4", 4.5: "4½", 5: "5", 5.5: "5½", 6: "6",
	}
	for h, name := range hour {
		onClock := math.Mod(90-30*h+360, 180) // as the patient sees it, counter-clockwise from the right
		label := chart.LabelOf(onClock)
		assert.InDelta(t, 30*h, label, 1e-9, name)
		assert.InDelta(t, onClock, chart.AngleOf(30*h), 1e-9, name)
		assert.Equal(t, name+" o’clock", English.By(chart.ByHour).Value(fact.Label(label)))
		assert.Equal(t, name+" Uhr", german.By(chart.ByHour).Value(fact.Label(label)))
	}
	for label, want := range map[float64]string{
		1: "12 o’clock +1°", 7: "12 o’clock +7°", 8: "12½ o’clock −7°", 37: "1 o’clock +7°", 38: "1½ o’clock −7°", 179: "6 o’clock −1°",
	} {
		assert.Equal(t, want, English.By(chart.ByHour).Value(fact.Label(label)))
	}
	for _, l := range []chart.Labels{chart.ByAxis, chart.NoLabels} {
		assert.Equal(t, "37", English.By(l).Value(fact.Label(37)))
	}
}

// Where the dials have hours, all that says a line or the arrow's place says an hour; the
// axes of lenses stay in degrees.
func TestARoomWithHoursSpeaksInHours(t *testing.T) {
	st := sitting.State{Chart: chart.Arrow, Pointer: 45}
	point := sitting.Action{Do: sitting.Point, Axis: 45}
	room := sitting.Room{Labels: chart.ByHour}
	for _, c := range []struct {
		v          Voice
		hour, axis string
	}{{English, "1½ o’clock", "45"}, {german, "1½ Uhr", "45"}} {
		hours := c.v.By(chart.ByHour)
		turn := sitting.Action{Do: sitting.Turn, Axis: 45}
		for _, said := range []string{
			hours.Wall(st, chart.ByHour), hours.Done(sitting.Event{Action: point}, st, room), hours.Examiner().Action(point),
			hours.Examiner().Expected("45"), hours.Examiner().Ask(patient.WhichLines, "45"),
		} {
			assert.Contains(t, said, c.hour)
			assert.NotContains(t, said, c.axis)
		}
		assert.Contains(t, hours.Examiner().Action(turn), c.axis)
		assert.Contains(t, hours.Value(optics.CylinderOf(-1, 45)), c.axis)
		assert.NotContains(t, c.v.Examiner().Action(point), c.hour)
		assert.Contains(t, c.v.Examiner().Ask(patient.WhichLines, "45"), c.axis)
	}
}
