package wall

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"conoid/sim/chart"
	"conoid/sim/patient"
)

// Names that stand too close move apart, and stay on the card.
func TestNamesOfRowsAreSpread(t *testing.T) {
	assert.Equal(t, []float64{10, 40, 80}, spread([]float64{10, 40, 80}, 15, 0, 100), "there is room")
	assert.Equal(t, []float64{40, 55, 70}, spread([]float64{40, 45, 50}, 15, 0, 100), "pushed down")
	assert.Equal(t, []float64{70, 85, 100}, spread([]float64{80, 90, 98}, 15, 0, 100), "and up again")
	assert.Empty(t, spread(nil, 15, 0, 100))
}

// Each row is where its letters are, the largest above.
func TestRowsAreFoundOnTheChart(t *testing.T) {
	rows := []patient.RowRead{{LogMAR: 0.5, Shown: "HNVRE"}, {LogMAR: 0.4, Shown: "CD"}, {LogMAR: 0.3, Shown: "ZFNEV"}}
	var hung chart.Hung
	for _, r := range rows {
		hung.Rows = append(hung.Rows, chart.Row{LogMAR: r.LogMAR, Text: r.Shown})
	}
	got := rowMiddles(chart.Named(chart.Letters).Draw(hung), rows)
	assert.Len(t, got, 3)
	assert.Greater(t, got[0].Y, got[1].Y)
	assert.Greater(t, got[1].Y, got[2].Y)
	assert.InDelta(t, -9*chart.LetterHeight(0.5)/2, got[0].X, 0.01, "five letters and the gaps between them")
	assert.InDelta(t, -3*chart.LetterHeight(0.4)/2, got[1].X, 0.01)
}
