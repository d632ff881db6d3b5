package figures

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every figure of the table lies where it should. With CONOID_FULL set it is
// measured on all eyes of the table; otherwise on fewer, so with a little more
// room: a tenth of the width.
func TestFigures(t *testing.T) {
	if testing.Short() {
		t.Skip("many drawn eyes take long")
	}
	full := os.Getenv("CONOID_FULL") != ""
	for _, g := range Groups() {
		t.Run(g.Name, func(t *testing.T) {
			eyes := g.Quick
			if full {
				eyes = g.Full
			}
			rows := g.Measure(eyes)
			require.NotEmpty(t, rows)
			for _, r := range rows {
				room := 0.0
				if !full && !math.IsInf(r.Low, 0) && !math.IsInf(r.High, 0) {
					room = (r.High - r.Low) / 10
				}
				t.Logf("%-55s %.3f (%s)", r.What, r.Measured, r.Published)
				assert.GreaterOrEqual(t, r.Measured, r.Low-room, r.What)
				assert.LessOrEqual(t, r.Measured, r.High+room, r.What)
				assert.NotEmpty(t, r.Source, r.What)
			}
		})
	}
}

func TestRows(t *testing.T) {
	r := about("x", 1.05, 1, 0.1, "s")
	assert.True(t, r.OK())
	r.Measured = 1.11
	assert.False(t, r.OK())
	assert.Equal(t, "at least 2", within("x", 3, 2, math.Inf(1), "s").Published)
	assert.Equal(t, "at most 2", within("x", 1, math.Inf(-1), 2, "s").Published)
	var b strings.Builder
	require.NoError(t, Write(&b, []Row{r}))
	assert.Contains(t, b.String(), "| x | 1.110 | 1 ± 0.1 | **no**, by 0.010 | s |")
}

func TestSlope(t *testing.T) {
	assert.InDelta(t, 2, slope([]float64{1, 2, 4}, []float64{3, 5, 9}), 1e-12)
}
