package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
)

// A line at an angle has the label of the axis that it asks for, 90 less the angle; what is
// pressed beside a line, or below the half circle of the fan, means the nearest.
func TestTheLineThatIsPressed(t *testing.T) {
	fan, clock, sunburst := chart.Named(chart.Fan), chart.Named(chart.Clock), chart.Named(chart.Sunburst)
	for angle, want := range map[float64]int{90: 180, 60: 30, 54: 40, 0: 90, 180: 90, 120: 150, -20: 90, 200: 90} {
		assert.Equal(t, want, lineAt(fan, angle), "fan at %v", angle)
	}
	assert.Equal(t, 30, lineAt(clock, 60))
	assert.Equal(t, 30, lineAt(clock, -120), "its other end")
	assert.Equal(t, 30, lineAt(clock, 50))
	assert.Equal(t, 60, lineAt(clock, 40))
	assert.Equal(t, 130, lineAt(sunburst, -38))
}

func TestTheLineThatKeysFind(t *testing.T) {
	fan := chart.Named(chart.Fan)
	assert.Equal(t, 10, nextLine(fan, 0, 5))
	assert.Equal(t, 170, nextLine(fan, 180, -1))
	assert.Equal(t, 10, nextLine(fan, 180, 5))
	assert.Equal(t, 60, nextLine(chart.Named(chart.Clock), 30, 1))
}
