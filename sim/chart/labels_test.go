package chart_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"conoid/sim/chart"
	"conoid/sim/fact"
	"conoid/sim/optics"
)

// The rule of 30 (common practice at the clock dial): the axis of the minus
// cylinder is 30 times the lower hour of the clearest line. Axes are those of
// ISO 8429, as the examiner sees them; seen is the angle of the same line from
// the patient's side, standard its angle from the examiner's.
var ruleOf30 = []struct {
	hour           int
	seen, standard float64
}{
	{1, 60, 120}, {2, 30, 150}, {3, 0, 180}, {4, 150, 30}, {5, 120, 60}, {6, 90, 90},
}

func TestLabelsFollowTheRuleOf30(t *testing.T) {
	for _, row := range ruleOf30 {
		label := float64(30 * row.hour)
		assert.InDelta(t, label, chart.LabelOf(row.seen), 1e-9, "%d o'clock", row.hour)
		assert.InDelta(t, row.seen, chart.AngleOf(label), 1e-9, "%d o'clock", row.hour)
		assert.InDelta(t, label, optics.Axis(row.standard+90), 1e-9, "the cylinder's axis lies across the line")
	}
}

func TestLabelIsTheMinusCylinderAxis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		phi := rapid.Float64Range(0, 179.9999).Draw(t, "phi")
		label := chart.LabelOf(phi)
		assert.InDelta(t, 0, math.Remainder(label-(90-phi), 180), 1e-9)
		assert.InDelta(t, 0, math.Remainder(label-(optics.PatientAngle(phi)+90), 180), 1e-9)
		assert.True(t, 0 < label && label <= 180, label)

		back := chart.AngleOf(label)
		assert.InDelta(t, 0, math.Remainder(back-phi, 180), 1e-9)
		assert.True(t, 0 <= back && back < 180, back)
	})
}

// A cylinder axis just past a whole one must not throw its line out of range.
func TestAngleOfAtTheSeam(t *testing.T) {
	for _, label := range []float64{90, math.Nextafter(90, 91), math.Nextafter(90, 89), 270, -90} {
		got := chart.AngleOf(label)
		assert.True(t, 0 <= got && got < 180, "%v: %v", label, got)
		assert.InDelta(t, 0, math.Remainder(got, 180), 1e-9)
	}
}

// Every printed axis stands at the end of the line that it names.
func TestPrintedAxes(t *testing.T) {
	for name, c := range map[string]chart.Drawing{
		"fan": drawn(chart.Fan, chart.Hung{Labels: chart.ByAxis}), "clock": drawn(chart.Clock, chart.Hung{Labels: chart.ByAxis}), "sunburst": drawn(chart.Sunburst, chart.Hung{Labels: chart.ByAxis}),
	} {
		for _, l := range c.Labels {
			axis, err := strconv.ParseFloat(l.Text, 64)
			require.NoError(t, err, name)
			assert.True(t, 0 < axis && axis <= 180, "%s: %s", name, l.Text)
			assert.InDelta(t, 0, math.Remainder(direction(l.At)-(90-axis), 180), 1e-9, "%s: %s", name, l.Text)
		}
	}
	assert.Len(t, drawn(chart.Fan, chart.Hung{Labels: chart.ByAxis}).Labels, 19)
	assert.Len(t, drawn(chart.Clock, chart.Hung{Labels: chart.ByAxis}).Labels, 12)
	assert.Len(t, drawn(chart.Sunburst, chart.Hung{Labels: chart.ByAxis}).Labels, 36)
}

func TestBothHorizontalsRead90(t *testing.T) {
	for _, c := range []chart.Drawing{drawn(chart.Fan, chart.Hung{Labels: chart.ByAxis}), drawn(chart.Clock, chart.Hung{Labels: chart.ByAxis}), drawn(chart.Sunburst, chart.Hung{Labels: chart.ByAxis})} {
		var xs []float64
		for _, l := range c.Labels {
			if l.Text == "90" {
				xs = append(xs, l.At.X)
				assert.InDelta(t, 0, l.At.Y, 1e-9)
			}
		}
		require.Len(t, xs, 2)
		assert.InDelta(t, 0, xs[0]+xs[1], 1e-9)
	}
}

// The hours stand as on a clock face: hour h points 30·h degrees clockwise
// from the top.
func TestPrintedHours(t *testing.T) {
	want := map[string]int{"fan": 7, "clock": 12, "sunburst": 12}
	for name, c := range map[string]chart.Drawing{
		"fan": drawn(chart.Fan, chart.Hung{Labels: chart.ByHour}), "clock": drawn(chart.Clock, chart.Hung{Labels: chart.ByHour}), "sunburst": drawn(chart.Sunburst, chart.Hung{Labels: chart.ByHour}),
	} {
		assert.Len(t, c.Labels, want[name], name)
		for _, l := range c.Labels {
			hour, err := strconv.Atoi(l.Text)
			require.NoError(t, err)
			assert.True(t, 1 <= hour && hour <= 12, "%s: %d", name, hour)
			assert.InDelta(t, 0, math.Remainder(direction(l.At)-(90-30*float64(hour)), 360), 1e-9, "%s: %s", name, l.Text)
		}
	}
	assert.Empty(t, drawn(chart.Clock, chart.Hung{Labels: chart.NoLabels}).Labels)
}

func TestParseLabels(t *testing.T) {
	for _, l := range []chart.Labels{chart.ByAxis, chart.ByHour, chart.NoLabels} {
		got, err := chart.ParseLabels(l.String())
		require.NoError(t, err)
		assert.Equal(t, l, got)
	}
	assert.Equal(t, "hours", chart.ByHour.String())
	assert.Equal(t, "Labels(7)", chart.Labels(7).String())
	for _, s := range []string{"", "Axis", "hour", "axis "} {
		_, err := chart.ParseLabels(s)
		var no *fact.Error
		require.ErrorAs(t, err, &no)
		assert.Equal(t, fact.New("chart.no-labels", "text", s, "labels", []string{"axis", "hours", "none"}), no.Fact)
	}
}

func direction(p chart.Point) float64 { return math.Atan2(p.Y, p.X) * 180 / math.Pi }
